// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package jsonread reads JSON written by hand: strictly, and with errors that name the
// field.
//
// Keys are matched as they are written, unknown and doubled keys are refused, and so are
// an empty file, more than one value and more than a stated size. A number field takes a
// JSON number in the coherent SI unit or a string that carries its unit
// (package [example.com/ohmwright/uncertainty/unit]).
//
// An [Object] collects the first error; [Object.Close] returns it, or the unknown keys:
//
//	o, err := jsonread.Read(r, limit)
//	o.Text("name", &name)
//	o.Quantity("step", unit.Ohm, &step)
//	err = o.Close()
package jsonread
