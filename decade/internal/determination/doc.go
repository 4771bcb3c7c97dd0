// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package determination numbers what readings of a box determine, the residual and the
// elements, and finds by exact arithmetic which of them follow from readings at given
// settings.
package determination
