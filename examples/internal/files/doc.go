// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package files gives the example programs the flags that they share, opens the files
// that these name, and writes results: to the terminal, or into a folder.
//
//	p := files.New("nearest", demo, "go run ./examples/nearest -box mybox/box.json -ohms 4711.5")
//	box := p.File("box")
//	p.Formats("text", "json")
//	if run, err := p.Parse(arguments, out); !run {
//		return err
//	}
//	b, err := files.Open(p, *box, "box.json", decade.ReadBox)
package files
