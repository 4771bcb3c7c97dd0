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
// parser of Go, which reads it next, would speak of its own grammar: "illegal character U+00D7"
// for R×2, "expected 'EOF', found R" for 2R. Some slips it would even accept with another meaning,
// which is the stronger reason to look first:
//
//	x // 2   a remark: the formula would be x
//	x^2      exclusive or
//	x * *y   y taken for a pointer
//
// Two sweeps over the text, both linear: characters, each looked up in tables of what people
// write; then tokens, for values side by side and commas outside functions. Both are silent about
// what they do not know, so that a formula that is right never stumbles here.

// signs are those of paper and of other programs, with what a formula has in their place. None of
// them is replaced silently: a − from a text is easy to read as a minus, but "10:3" may be a ratio,
// a range or a time, and a reader who is told once writes it right from then on.
var signs = map[rune]string{
	'×': "*", '·': "*", '⋅': "*", '∙': "*", '÷': "/", ':': "/", '−': "-", '–': "-", '—': "-",
	'√': "sqrt(x)", '²': "pow(x, 2)", '³': "pow(x, 3)", '^': "pow(x, y)", '[': "(", ']': ")",
	'{': "(", '}': ")",
}

// marks are those that a formula has no use for, with what to write: units and per cent belong to
// the inputs, quotation marks to text.
var marks = map[rune]string{
	'%':  "% is not understood; expected a factor, such as 0.01 for 1 %",
	'°':  "° is not understood; expected numbers without a unit, and angles in radians",
	'|':  "| is not understood; expected abs(x)",
	';':  "; is not understood; expected a comma between arguments, and a point in numbers",
	'?':  "? is not understood; expected a formula without conditions",
	'!':  "! is not understood; expected numbers, names, + - * / and functions",
	'\'': "' is not understood; expected digits alone in numbers, and letters and digits in names",
	'’':  "’ is not understood; expected digits alone in numbers, and letters and digits in names",
	'"':  "quotation marks are not read; expected the name alone",
	'“':  "quotation marks are not read; expected the name alone",
	'”':  "quotation marks are not read; expected the name alone",
}

// pairs are two signs of which other programs make one. What follows // on the last line
// would be left out as a remark.
var pairs = map[string]string{
	"**": "** is no power; expected pow(x, y)",
	"//": "// is not understood; expected one /",
	"/*": "/* is not understood; expected one of + - * /",
}

// firstSlip returns the first thing that somebody may have written otherwise, and where; nil where
// the parser may read on. The index of a range over a string counts bytes, as the parser does.
func (f *formula) firstSlip() error {
	for i, r := range f.text {
		// A token.Pos counts from 1.
		at := token.Pos(i + 1)
		if write, ok := signs[r]; ok {
			if r == '^' {
				return f.refuse(at, unit.Errorf(ErrSyntax, "operator ^ is no power; expected "+
					"pow(x, y)"))
			}
			return f.refuse(at, unit.Errorf(ErrSyntax, "%c is not understood; expected %s", r,
				write))
		}
		pair := f.text[i:min(len(f.text), i+2)] // may cut a character, and is in no table then
		text, found := pairs[pair]
		// In a formula of several lines it is a remark.
		if pair == "//" && strings.Contains(f.text[i:], "\n") {
			found = false
		}
		if !found && !strings.HasPrefix(f.text[i:], "!=") {
			text, found = marks[r]
		}
		if found {
			return f.refuse(at, unit.Errorf(ErrSyntax, "%s", text))
		}
		// Comparisons are refused by the parser, with their operator.
		if r == '=' && !strings.ContainsAny(f.text[max(0, i-1):min(len(f.text), i+2)], "!<>") {
			return f.refuse(at, unit.Errorf(ErrSyntax, "a formula has no equals sign; expected "+
				"its right-hand side alone"))
		}
	}
	return f.checkTokens()
}

// A tokenCheck looks at the tokens of a formula one after the other. It needs no grammar: in a
// formula two values never stand side by side, and a comma stands in a call only.
type tokenCheck struct {
	before token.Token // ILLEGAL before the first
	text   string      // of the token before, as a message names it
	inCall []bool      // of each open parenthesis: whether it is that of a function
}

// checkTokens looks for values side by side, and for commas that are none of a function. It stops
// at the first character that the scanner cannot read, where the parser has something better to
// say.
func (f *formula) checkTokens() error {
	// The scanner of Go, without its parser: tokens side by side are enough.
	var s scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(f.text))
	// The parser reports what cannot be read.
	s.Init(file, []byte(f.text), func(token.Position, string) {}, 0)
	c := tokenCheck{before: token.ILLEGAL}
	for {
		pos, tok, text := s.Scan()
		if tok == token.EOF || tok == token.ILLEGAL {
			return nil
		}
		if wrong := c.next(tok, text); wrong != "" {
			return f.refuse(token.Pos(file.Offset(pos)+1), unit.Errorf(ErrSyntax, "%s", wrong))
		}
	}
}

// next says what is wrong with the next token, or nothing, and remembers the token. What it finds:
//
//	2 R        values side by side
//	2 (R + 1)  a number before a parenthesis; R (2) is a call, for build to judge
//	(1,5) * R  a comma outside a function
//	R) * 2     a parenthesis that was never opened
//	*R         nothing before a sign that Go takes for a pointer
//	if R       a keyword of Go
func (c *tokenCheck) next(tok token.Token, text string) (wrong string) {
	text = unit.Shown(text)
	switch {
	case tok.IsKeyword():
		if why, ok := stepFunctions[text]; ok {
			return "function " + text + " jumps: " + why + "; expected a function without jumps"
		}
		return "the word " + text + " has no place in a formula; expected the name of an input " +
			"or of a function"
	case tok == token.MUL && !c.endsValue():
		return "nothing before *; expected a number, a name or a parenthesis"
	}
	switch tok {
	case token.LPAREN:
		// "2 (x)": after a name it is a call, after a parenthesis Go reads a call as well.
		if c.before == token.INT || c.before == token.FLOAT {
			return "nothing between " + c.text + " and the parenthesis; expected an operator, " +
				"such as *"
		}
		// A comma belongs to a function if its innermost parenthesis follows a name.
		c.inCall = append(c.inCall, c.before == token.IDENT)
	case token.RPAREN:
		if len(c.inCall) == 0 {
			return "a closing parenthesis without an opening one; expected one ( for each )"
		}
		c.inCall = c.inCall[:len(c.inCall)-1]
		text = "the parenthesis"
	case token.COMMA:
		if len(c.inCall) == 0 || !c.inCall[len(c.inCall)-1] {
			return "a comma outside a function; expected a point in numbers, 1.5"
		}
	case token.IDENT, token.INT, token.FLOAT:
		if c.endsValue() {
			return "nothing between " + c.text + " and " + text + "; expected an operator, one " +
				"of + - * /"
		}
	}
	c.before, c.text = tok, text
	return ""
}

// endsValue reports whether the token before can end a value, so that another cannot follow. IMAG,
// 2i, is a value to the scanner and refused by literal.
func (c *tokenCheck) endsValue() bool {
	switch c.before {
	case token.IDENT, token.INT, token.FLOAT, token.IMAG, token.RPAREN:
		return true
	}
	return false
}

// plainSyntax puts the words of the parser into those of a reader. The parser of the standard
// library says "expected operand, found 'EOF'", "expected ')', found newline" or "expected 'EOF',
// found x"; its texts may change, so that what is not recognised is passed on as it is.
func plainSyntax(text string) string {
	what, found, _ := strings.Cut(text, ", found ")
	found = unit.Shown(found)
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
	case strings.HasPrefix(text, "illegal character"):
		_, sign, _ := strings.Cut(text, " '")
		return strings.TrimSuffix(sign, "'") + " is not understood; expected numbers, names, + - " +
			"* / and functions"
	case strings.Contains(text, " literal"):
		return "a number that begins with 0; expected no 0 before other digits, such as 89 or 0.5"
	case text == "exponent has no digits":
		return "an exponent without digits; expected some, such as 1e-3"
	case found != "":
		return found + "; expected an operator, one of + - * /, or the end"
	}
	return unit.Shown(text)
}

// otherNames are names that functions have elsewhere, in small letters, with what to write. None of
// them is a synonym that Formula reads, so that a formula has one spelling; ln alone is read, since
// ISO 80000-2 has it for the natural logarithm.
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
