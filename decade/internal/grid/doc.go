// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package grid prints tables for people, aligned for a screen or in Markdown.
package grid
