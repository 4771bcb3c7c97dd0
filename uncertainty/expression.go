// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

// This file prints a graph as text. Three things make it more than a walk down a tree:
//
//   - Parentheses. Each text carries how strongly its last operation binds, and each place says
//     how strongly its operand must. a − (b − c) needs them, (a − b) − c does not; adding or
//     dropping one where addition is not associative would change the last bit.
//   - Sharing. A node that is used k times would be printed k times, and a chain of n nodes that
//     each use the one below twice 2ⁿ times. Long shared parts become lines of their own, so that
//     the text grows linearly.
//   - Names. A name is printed only where it stands for one quantity in the whole model and can
//     be read back. Otherwise what is below it is printed.
//
// Texts are made from the arguments up, in the order of walk, each from the finished texts of its
// arguments: no recursion, so that deep models do no harm.

import (
	"cmp"
	"go/token"
	"math"
	"strconv"
	"strings"
)

// Expression prints the model below q as a formula in the syntax of [Formula]:
//
//	(Rs + dRd + dRts) * rc * r - dRtx
//
// Inputs stand by their names. A result with a name of its own (see
// [Quantity.Named]), one that is used several times and too long to repeat, and parts
// of very long models are lines of their own before it, "name = formula", each of which
// uses names of earlier lines. Formula reads every line back, with the same bits in the
// result, unless it holds what has no formula: a Call (printed as a function of its
// name) or an input whose name is not an identifier (printed in quotes). A record is
// printed to first order. A quantity that carries an error is "!(error)".
func (q Quantity) Expression() string {
	if err := q.Err(); err != nil {
		return "!(" + err.Error() + ")"
	}
	p := &printer{texts: make(map[*node]expression), uses: make(map[*node]int),
		taken: make(map[string]*node), printed: make(map[string]bool)}
	top := q.n
	for top.op == opNamed { // the whole model is asked for, not its name
		top = top.a
	}
	p.survey(top)
	walk([]*node{top}, func(n *node) { p.texts[n] = p.print(n, n == top) })
	return strings.Join(append(p.lines, p.texts[top].text), "\n")
}

// expression is printed text with how strongly its last operation binds.
type expression struct {
	text  string
	binds int // bindsSum to bindsAll
}

// How strongly an operation binds, from the weakest. The order is that of Go, which has no power:
// a sign binds more than a product, so that -a * b is (-a)·b.
const (
	bindsSum     = iota // a + b, a - b
	bindsProduct        // a * b, a / b
	bindsSign           // -a
	bindsAll            // names, numbers, f(x), parentheses
)

// repeated is the length up to which a part that is used several times is printed each
// time, longest that up to which a part stays in its line, both in bytes. A reader follows forty
// characters twice more easily than a name for them; longestFormula leaves room for a line of
// longest many times over.
const (
	repeated = 40
	longest  = 2000
)

// A printer collects the lines of a formula, from the arguments up.
type printer struct {
	texts map[*node]expression // of what has been printed
	uses  map[*node]int        // readers of each node in this model
	taken map[string]*node     // names and what they stand for; nil for several
	lines []string             // "name = formula", in the order in which they are read back
	count int                  // of names that fresh has tried

	printed map[string]bool // names of lines
}

// survey counts the uses of each node and collects the names.
func (p *printer) survey(top *node) {
	// How often a node is used decides whether it gets a line of its own.
	walk([]*node{top}, func(n *node) {
		for i := 0; ; i++ {
			arg := n.argument(i)
			if arg == nil {
				break
			}
			p.uses[arg]++
		}
		name := Quantity{n}.Name()
		if n.op != opInput && n.op != opNamed || name == "" {
			return
		}
		// A name of a name: what counts is what the whole chain stands for.
		bottom := n
		for bottom.op == opNamed {
			bottom = bottom.a
		}
		if old, ok := p.taken[name]; ok && old != bottom {
			// Two things of one name: neither can be printed by it.
			bottom = nil
		}
		p.taken[name] = bottom
	})
}

// print gives the text of a node, whose arguments have been printed.
func (p *printer) print(n *node, top bool) expression {
	if n.op == opNamed {
		return p.label(n)
	}
	e := p.operation(n)
	// A short text is repeated where it is used; only what is long or used often moves.
	if top || e.binds == bindsAll && len(e.text) <= repeated {
		return e
	}
	if len(e.text) > longest || p.uses[n] > 1 && len(e.text) > repeated {
		return p.line(p.fresh(), e)
	}
	return e
}

// label prints a named node: by its name if that stands for it alone. The cases:
//
//	input "Rs", named "R"                   Rs, since an input has a name already
//	input "R standard", named "R"           R, the alias that a formula can hold
//	a + b, named "R"                        R, and a line "R = a + b"
//	a + b, named "R", and another thing R   a + b
func (p *printer) label(n *node) expression {
	name := string(n.aux.(label))
	bottom := n
	// An alias of an alias has the same bottom.
	for bottom.op == opNamed {
		bottom = bottom.a
	}
	below := p.texts[n.a]
	switch {
	case p.taken[name] != bottom || !token.IsIdentifier(name), below.text == name:
		return below
	case bottom.op == opInput && !token.IsIdentifier(bottom.aux.(*source).name):
		return expression{name, bindsAll} // an alias: the name for formulas
	case bottom.op == opInput:
		return below
	}
	return p.line(name, below)
}

// line moves an expression to a line of its own and returns the name in its place. A name has one
// line, however often it is asked for: taken and fresh see to it that it is the right one.
func (p *printer) line(name string, e expression) expression {
	if !p.printed[name] {
		p.printed[name] = true
		p.lines = append(p.lines, name+" = "+e.text)
	}
	return expression{name, bindsAll}
}

// fresh returns a name that nothing else has.
func (p *printer) fresh() string {
	for {
		p.count++
		name := "part" + strconv.Itoa(p.count)
		if _, ok := p.taken[name]; !ok {
			return name
		}
	}
}

// operation prints a node by its arguments, in parentheses where they bind less. The left operand
// of a sum or product may bind as strongly as the operation itself, since Go reads from the left;
// the right one must bind more: a - (b - c) is not a - b - c, and a * (b / c) has other bits than
// a * b / c.
func (p *printer) operation(n *node) expression {
	switch n.op {
	case opInput:
		return expression{identifier(n.aux.(*source).name), bindsAll}
	case opExact:
		return constantText(n.value)
	case opAdd:
		return expression{p.arg(n.a, bindsSum) + " + " + p.arg(n.b, bindsProduct), bindsSum}
	case opSub:
		return expression{p.arg(n.a, bindsSum) + " - " + p.arg(n.b, bindsProduct), bindsSum}
	case opMul:
		return expression{p.arg(n.a, bindsProduct) + " * " + p.arg(n.b, bindsSign), bindsProduct}
	case opDiv:
		return expression{p.arg(n.a, bindsProduct) + " / " + p.arg(n.b, bindsSign), bindsProduct}
	case opNeg:
		// Only what binds most may follow the sign: Go does not read --a.
		return expression{"-" + p.arg(n.a, bindsAll), bindsSign}
	case opScale:
		return expression{constantText(n.da).text + " * " + p.arg(n.a, bindsSign), bindsProduct}
	case opPow:
		// The syntax has no operator for a power.
		return expression{"pow(" + p.arg(n.a, bindsSum) + ", " + p.arg(n.b, bindsSum) + ")",
			bindsAll}
	case opLinear:
		return p.linear(n.aux.(*many))
	case opCall:
		return p.call(n.aux.(*many))
	}
	// The functions of one argument have their names in lower case.
	return expression{strings.ToLower(opNames[n.op]) + "(" + p.arg(n.a, bindsSum) + ")", bindsAll}
}

// arg prints an argument, in parentheses if it binds less than needed.
func (p *printer) arg(n *node, needed int) string {
	e := p.texts[n]
	if e.binds < needed {
		return "(" + e.text + ")"
	}
	return e.text
}

// linear prints c0 + Σ d·x; a very long sum is continued from a line of its own, which keeps the
// order in which the terms are added and so the bits. A constant of 0 is left out, as 0 + d·x is
// d·x exactly.
func (p *printer) linear(x *many) expression {
	switch {
	case len(x.args) == 0:
		return constantText(x.c0)
	case len(x.args) == 1 && x.c0 == 0 && x.d[0] == 1:
		return p.texts[x.args[0]]
	}
	var b strings.Builder
	if x.c0 != 0 {
		b.WriteString(constantText(x.c0).text)
	}
	for i, arg := range x.args {
		if b.Len() > longest {
			e := p.line(p.fresh(), expression{text: b.String()})
			b.Reset()
			b.WriteString(e.text)
		}
		c, sign := x.d[i], " + "
		// A minus before a term reads better than plus a negative factor.
		if b.Len() > 0 && math.Signbit(c) {
			c, sign = -c, " - "
		}
		if b.Len() > 0 {
			b.WriteString(sign)
		}
		// Factors of 1 and −1 are left out.
		switch c {
		case 1:
			b.WriteString(p.arg(arg, bindsProduct))
		case -1:
			b.WriteString("-" + p.arg(arg, bindsAll))
		default:
			b.WriteString(constantText(c).text + " * " + p.arg(arg, bindsSign))
		}
	}
	return expression{b.String(), bindsSum}
}

// call prints a function: of this package by the name that a formula has for it, such as hypot,
// or somebody else's, whose name [Formula] reports when it reads it.
func (p *printer) call(x *many) expression {
	args := make([]string, len(x.args))
	for i, arg := range x.args {
		args[i] = p.texts[arg].text
	}
	name := cmp.Or(x.name, x.call.function, "f")
	return expression{identifier(name) + "(" + strings.Join(args, ", ") + ")", bindsAll}
}

// constantText prints a constant so that it is read back as it is, in the fewest digits that do. A
// negative one binds as a sign does, so that its negation is -(-3): two signs side by side would
// be read as one token.
func constantText(v float64) expression {
	if math.Signbit(v) {
		return expression{format(v), bindsSign}
	}
	return expression{format(v), bindsAll}
}

// identifier quotes a name that cannot stand in a formula.
func identifier(name string) string {
	if token.IsIdentifier(name) {
		return name
	}
	return strconv.Quote(name)
}
