// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package wording prints numbers, counts and lists as the reports on boxes word them.
package wording
