// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package unit reads and writes quantities as people write them ("10 kΩ", "0.05 %",
// "8 ppm/K", "20 °C") and declares the causes of errors that every package shares.
package unit
