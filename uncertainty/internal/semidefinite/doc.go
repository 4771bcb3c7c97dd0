// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package semidefinite factors covariance matrices that may be singular or, from rounded
// correlations, indefinite by a little: those of correlated inputs, for drawing them
// together and for second-order terms along independent directions.
//
// The method is the Cholesky factorisation with the largest pivot first (Higham, Accuracy
// and Stability of Numerical Algorithms, 2002, 10.3), on the correlation matrix. Every
// operation is a single rounding: the bits are the same on every processor.
package semidefinite
