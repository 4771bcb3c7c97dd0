// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Package life plays the life of a decade box with the programs and files alone: sheet, check,
// cause, repair, as left, record and certificate, use, the drift of a year, and the page. The
// box is invented: seven dials, two of which are ranges of one switch, one without position 7,
// and a class with a floor. Its files are those of a spreadsheet with decimal commas.
//
// Each folder of testdata is a step: command as README has it, files that the user puts there
// before it, typed at the terminal, and output: files that it leaves, terminal.txt what it
// prints, or contains.txt, lines that must be in what it prints. The script .ci/life takes all
// steps in order; [Check] takes those of one program, for its test.
package life
