// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package chart draws results of the library with gonum's plot: deviations of a box
// against its class, causes with their odds, shares of a budget, a distribution with its
// intervals, drift with its prediction, impedance against frequency.
//
// Colours are those of a published palette for colour-blind readers, and nothing is told
// by colour alone: lines differ in their dashes, points in their shapes.
package chart
