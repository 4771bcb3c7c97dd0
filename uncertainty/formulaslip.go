// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"go/scanner"
	"go/token"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// This file says what is wrong with a formula in the words of the person who wrote it. The
// parser of Go, which reads it next, would speak of its own grammar.

// signs are those of paper and of other programs, with what a formula has in their place.
var signs = map[rune]string{
	'×': "*", '·': "*", '⋅': "*", '∙': "*", '÷': "/", ':': "/", '−': "-", '–': "-", '—': "-",
	'√': "sqrt(x)", '²': "pow(x, 2)", '³': "pow(x, 3)", '^': "pow(x, y)", '[': "(", ']': ")",
	'{': "(", '}': ")",
}

// slip returns the first thing that somebody may have written otherwise, and where.
func (f *formula) slip() error {
	for i, r := range f.text {
		// A token.Pos counts from 1.
		at := token.Pos(i + 1)
		if write, ok := signs[r]; ok {
			if r == '^' {
				return f.refuse(at, unit.Errorf(ErrSyntax, "operator ^ is no power; expected "+
					"pow(x, y)"))
			}
			return f.refuse(at, unit.Errorf(ErrSyntax, "%c is not read; expected %s", r, write))
		}
		// Comparisons are refused by the parser, with their operator.
		if r == '=' && !strings.ContainsAny(f.text[max(0, i-1):min(len(f.text), i+2)], "!<>") {
			return f.refuse(at, unit.Errorf(ErrSyntax, "a formula has no equals sign; expected "+
				"its right-hand side alone"))
		}
	}
	return f.neighbours()
}

// neighbours looks for values side by side, and for commas that are none of a function.
func (f *formula) neighbours() error {
	// The scanner of Go, without its parser: tokens side by side are enough.
	var s scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(f.text))
	// the parser reports what cannot be read
	// The parser reports what cannot be read.
	s.Init(file, []byte(f.text), func(token.Position, string) {}, 0)
	before, text := token.ILLEGAL, ""
	// A comma belongs to a function if its innermost parenthesis follows a name.
	var inCall []bool // of each open parenthesis
	for {
		pos, tok, lit := s.Scan()
		// At the end, and where the parser has something better to say.
		if tok == token.EOF || tok == token.ILLEGAL || tok == token.FUNC {
			return nil
		}
		at := token.Pos(file.Offset(pos) + 1)
		// Whether what came before can end a value, so that another one cannot follow.
		value := before == token.IDENT || before == token.INT || before == token.FLOAT ||
			before == token.RPAREN
		switch tok {
		case token.LPAREN:
			// "2 (x)": after a name it is a call, after a parenthesis Go reads a call as well.
			if value && before != token.IDENT && before != token.RPAREN {
				return f.refuse(at, unit.Errorf(ErrSyntax, "nothing between %s and the "+
					"parenthesis; expected an operator, such as *", text))
			}
			inCall = append(inCall, before == token.IDENT)
		case token.RPAREN:
			if len(inCall) == 0 {
				return f.refuse(at, unit.Errorf(ErrSyntax, "a closing parenthesis without an "+
					"opening one; expected one ( for each )"))
			}
			inCall = inCall[:len(inCall)-1]
		case token.COMMA:
			if len(inCall) == 0 || !inCall[len(inCall)-1] {
				return f.refuse(at, unit.Errorf(ErrSyntax, "a comma outside a function; expected "+
					"a point in numbers, 1.5"))
			}
		case token.IDENT, token.INT, token.FLOAT:
			if value {
				return f.refuse(at, unit.Errorf(ErrSyntax, "nothing between %s and %s; expected "+
					"an operator, one of + - * /", text, lit))
			}
		}
		if before, text = tok, lit; tok == token.RPAREN {
			text = "the parenthesis"
		}
	}
}

// grammar puts the words of the parser into those of a reader.
func grammar(text string) string {
	what, found, _ := strings.Cut(text, ", found ")
	end := strings.HasPrefix(found, "'EOF'") || strings.HasPrefix(found, "newline")
	what = strings.TrimPrefix(what, "expected ")
	switch {
	case what == "operand" && end:
		return "the formula ends here; expected a number, a name or a parenthesis"
	case what == "operand":
		return found + "; expected a number, a name or a parenthesis"
	case strings.Contains(what, "')'") && end:
		return "the formula ends here; expected a ) for each ("
	case end:
		return "the formula ends here; expected " + what
	case found != "":
		return found + "; expected an operator, one of + - * /, or the end"
	}
	return text
}

// otherNames are names that functions have elsewhere.
var otherNames = map[string]string{
	"lg": "log10(x)", "log2": "log(x)/log(2)",
	"arcsin": "asin(x)", "arccos": "acos(x)", "arctan": "atan(x)", "power": "pow(x, y)",
	"root": "sqrt(x)", "square": "pow(x, 2)", "sqr": "pow(x, 2)", "sh": "sinh(x)", "ch": "cosh(x)",
	"th": "tanh(x)", "fabs": "abs(x)", "arctan2": "atan2(y, x)",
	"minimum": "min(x, y)", "maximum": "max(x, y)",
}

// stepFunctions are refused with the reason: their slope is 0 nearly everywhere, so that the
// law of propagation would find no uncertainty, and infinite at the jumps.
var stepFunctions = map[string]string{
	"floor": "its slope is 0 between whole numbers", "ceil": "its slope is 0 between whole numbers",
	"round": "its slope is 0 between the steps; a display is an input with the distribution of " +
		"its resolution",
	"trunc": "its slope is 0 between whole numbers", "int": "its slope is 0 between whole numbers",
	"mod":  "it falls back at each multiple of the divisor",
	"fmod": "it falls back at each multiple of the divisor",
	"sign": "its slope is 0", "sgn": "its slope is 0", "step": "its slope is 0",
	"heaviside": "its slope is 0",
	"if":        "the result changes where the condition does",
}
