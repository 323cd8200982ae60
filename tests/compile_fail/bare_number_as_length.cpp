// SPDX-License-Identifier: Apache-2.0
// A number becomes a length only by saying so.
// refused: conversion from 'double' to non-scalar type
#include "perisclera/core/units.h"

using namespace perisclera;

Mm good() { return Mm{3.0}; }
#ifdef BAD
void bad() { Mm m = 3.0; }
#endif
