// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package document writes what reports are made of, a heading and sections, for a screen
// and in Markdown.
package document
