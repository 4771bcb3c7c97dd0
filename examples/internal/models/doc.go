// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package models holds measurement models as files that a teacher can hand out: worked
// examples of the guides, and a few of our own with invented figures. See [All].
package models
