// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"slices"
	"strings"
)

const module = "example.com/ohmwright"

// floors lists the packages from the top down: each imports only those above
// it. A directory that is not in the list (internal packages, the test helper,
// the examples) stands with the nearest one over it.
var floors = []string{
	"uncertainty/unit",
	"uncertainty/file",
	"uncertainty/elementary",
	"uncertainty",
	"uncertainty/fit",
	"uncertainty/conformity",
	"thermal",
	"thermal/material",
	"wire",
	"wire/winding",
	"decade",
	"decade/network",
	"decade/verify",
	"decade/calibrate",
	"decade/fault",
	"decade/inspect",
	"decade/certificate",
	"examples",
}

// floorOf returns the floor of a directory, 0 being the topmost.
func floorOf(dir string) (int, bool) {
	for {
		if i := slices.Index(floors, dir); i >= 0 {
			return i, true
		}
		i := strings.LastIndexByte(dir, '/')
		if i < 0 {
			return 0, false
		}
		dir = dir[:i]
	}
}

// testOnly reports imports that must not reach users of the library:
// golang.org/x/exp promises no compatibility, go-cmp is meant for tests.
func testOnly(imported string) bool {
	return strings.HasPrefix(imported, "golang.org/x/exp/") ||
		strings.HasPrefix(imported, "github.com/google/go-cmp/")
}
