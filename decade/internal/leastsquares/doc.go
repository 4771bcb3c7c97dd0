// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package leastsquares solves linear equations of measurement whose errors have a known
// covariance, by whitening and an orthogonal decomposition.
package leastsquares
