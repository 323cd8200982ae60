// SPDX-License-Identifier: Apache-2.0
#pragma once
// Is a CT reconstruction kernel smooth or sharp? Kernel names are free labels; only habits that are widely shared are used.
#include <string_view>

namespace perisclera {

enum class KernelClass { soft, sharp, not_told };

/// kernel: ConvolutionKernel, group: ConvolutionKernelGroup (both may be empty).
KernelClass kernel_class(std::string_view kernel, std::string_view group);

}  // namespace perisclera
