// SPDX-License-Identifier: Apache-2.0
#pragma once
// Discrete Fourier transforms of many lines at once, or of a plane, in place and not normalised: forward sums a exp(-2 pi i m c / n), backward with the
// other sign. The same input gives the same bits for any number of threads.
#include <complex>
#include <cstddef>
#include <memory>
#include <vector>

namespace perisclera::phantoms {

using Complex = std::complex<double>;

/// The first length from `at_least` on that has no prime factor beyond 5.
int transformable_length(int at_least);

class LineTransform {
public:
    /// Precondition: transformable_length(length) == length.
    explicit LineTransform(int length);
    ~LineTransform();
    LineTransform(LineTransform&&) noexcept;
    LineTransform& operator=(LineTransform&&) noexcept;

    /// `lines` lines; neighbours within a line lie `step` numbers apart, the lines' first numbers `jump` apart.
    void forward(Complex* first, int step, int lines, int jump) const;
    void backward(Complex* first, int step, int lines, int jump) const;
    [[nodiscard]] int length() const { return length_; }

private:
    struct Tables;
    void apply(Complex* first, int step, int lines, int jump, int sign) const;
    int length_;
    std::unique_ptr<const Tables> tables_;
};

struct ComplexPlane {
    int width, height;
    std::vector<Complex> values;
    ComplexPlane(int w, int h) : width(w), height(h), values(static_cast<std::size_t>(w) * static_cast<std::size_t>(h)) {}
    Complex& at(int x, int y) { return values[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)]; }
    [[nodiscard]] const Complex& at(int x, int y) const {
        return values[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)];
    }
};

/// Sums value * exp(2 pi i (x u / width + y v / height)) over all (u, v). Precondition: both sides are transformable lengths.
void sum_of_waves(ComplexPlane& plane);

}  // namespace perisclera::phantoms
