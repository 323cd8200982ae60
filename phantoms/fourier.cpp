// SPDX-License-Identifier: Apache-2.0
#include "fourier.h"

#include <vnl/algo/vnl_fft.h>
#include <vnl/algo/vnl_fft_prime_factors.h>

#include <cassert>

namespace perisclera::phantoms {

struct LineTransform::Tables {
    explicit Tables(int length) : factors(length) {}
    mutable vnl_fft_prime_factors<double> factors;  // read only, though the library asks for it as if it were not
};

int transformable_length(int at_least) {
    for (int n = std::max(1, at_least);; ++n) {
        int left = n;
        for (const int prime : {2, 3, 5})
            while (left % prime == 0) left /= prime;
        if (left == 1) return n;
    }
}

LineTransform::LineTransform(int length) : length_(length), tables_(std::make_unique<const Tables>(length)) {
    assert(transformable_length(length) == length);
}
LineTransform::~LineTransform() = default;
LineTransform::LineTransform(LineTransform&&) noexcept = default;
LineTransform& LineTransform::operator=(LineTransform&&) noexcept = default;

void LineTransform::forward(Complex* first, int step, int lines, int jump) const { apply(first, step, lines, jump, -1); }
void LineTransform::backward(Complex* first, int step, int lines, int jump) const { apply(first, step, lines, jump, 1); }

void LineTransform::apply(Complex* first, int step, int lines, int jump, int sign) const {
    if (length_ == 1) return;
    double* data = reinterpret_cast<double*>(first);  // a complex number is its two parts in a row ([complex.numbers])
    long info = 0;
    vnl_fft_gpfa(data, data + 1, tables_->factors.trigs(), 2 * step, 2 * jump, length_, lines, sign, tables_->factors.pqr(), &info);
    assert(info == 0);
}

void sum_of_waves(ComplexPlane& plane) {
    LineTransform(plane.width).backward(plane.values.data(), 1, plane.height, plane.width);
    LineTransform(plane.height).backward(plane.values.data(), plane.width, plane.width, 1);
}

}  // namespace perisclera::phantoms
