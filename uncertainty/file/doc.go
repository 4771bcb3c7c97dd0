// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package file reads JSON files that people write: strictly, with errors that name the place and
// the mistake.
//
// Keys are matched as they are written. Unknown and doubled keys are refused, and so are
// an empty file, more than one value and more than a stated size. An error names the line
// and column, the field, what was given and what was expected, and proposes a near
// spelling where there is one ([Near]):
//
//	decade.ReadBox: line 1, column 14: decades[0].stp: unknown key "stp"; did you mean "step"?
//
// There are two ways to read. [Read] opens an [Object] whose methods read the keys one by one; a
// number field takes a JSON number in the coherent SI unit or a string that carries its unit
// (package [example.com/ohmwright/uncertainty/unit]). [Decode] fills a struct of package
// encoding/json, as strictly.
//
// An Object collects the first error; [Object.Close] returns it, or the unknown keys:
//
//	o, err := file.Read("decade.ReadBox", r, limit)
//	o.Text("name", &name)
//	o.Quantity("step", unit.Ohm, &step)
//	err = o.Close()
//
// [Words] are the texts of an enumeration, both ways.
package file
