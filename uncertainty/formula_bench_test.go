// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/internal/tape"
)

// formulaCase is one model given as text, in the three forms that are compared over a
// block of trials: the tape, a closure tree called for each trial, and the same
// formula written in Go.
type formulaCase struct {
	text   string
	names  []string
	inputs []Quantity
	native func(dst []float64, x [][]float64)

	columns [][]float64 // by input
	rows    [][]float64 // by trial
}

// comparison is the comparison of a 10 kΩ resistor with a standard.
func comparison() *formulaCase {
	return newFormulaCase("(Rs + dRd + dRts)*rc*(r + dr) - dRtx",
		[]string{"Rs", "dRd", "dRts", "dRtx", "rc", "r", "dr"},
		[]float64{10000.053, 0.02, 0, 0, 1, 1.0000105, 0},
		func(dst []float64, x [][]float64) {
			n := len(dst)
			rs, rd, rts, rtx, rc, r, dr := x[0][:n], x[1][:n], x[2][:n], x[3][:n], x[4][:n], x[5][:n], x[6][:n]
			for i := range dst {
				dst[i] = float64(float64((rs[i]+rd[i]+rts[i])*rc[i])*(r[i]+dr[i])) - rtx[i]
			}
		})
}

// roots has functions and constants.
func roots() *formulaCase {
	return newFormulaCase("2*sqrt(a*b)/(a + 3) - exp(b)*a", []string{"a", "b"}, []float64{2, 0.5},
		func(dst []float64, x [][]float64) {
			a, b := x[0], x[1]
			for i := range dst {
				dst[i] = 2*math.Sqrt(a[i]*b[i])/(a[i]+3) - float64(elementary.Exp(b[i])*a[i])
			}
		})
}

func newFormulaCase(text string, names []string, x []float64, native func([]float64, [][]float64)) *formulaCase {
	c := &formulaCase{text: text, names: names, native: native}
	rnd := rand.New(rand.NewPCG(5, 6))
	for i, name := range names {
		c.inputs = append(c.inputs, Input(name, Normal(x[i], 0.01)))
		column := make([]float64, tape.BlockSize)
		for k := range column {
			column[k] = x[i] + 0.01*rnd.NormFloat64()
		}
		c.columns = append(c.columns, column)
	}
	for k := range tape.BlockSize {
		row := make([]float64, len(names))
		for i := range row {
			row[i] = c.columns[i][k]
		}
		c.rows = append(c.rows, row)
	}
	return c
}

// parse makes the tape of the text. With keep, the inputs are results too, and before
// all others, so that their columns outlast a run.
func (c *formulaCase) parse(t testing.TB, keep bool) *tape.Tape {
	t.Helper()
	y, err := Formula(c.text, c.inputs...)
	if err != nil {
		t.Fatal(err)
	}
	var roots []*node
	if keep {
		for _, q := range c.inputs {
			roots = append(roots, q.n)
		}
	}
	roots = append(roots, y.n)
	m := models.Get().(*model)
	defer m.free()
	if err := m.compile(roots...); err != nil {
		t.Fatal(err)
	}
	written, err := assemble(m, roots)
	if err != nil {
		t.Fatal(err)
	}
	return written
}

// machine is ready to evaluate the given columns; nothing is drawn.
func (c *formulaCase) machine(t testing.TB) *formulaMachine {
	written := c.parse(t, true)
	m := &formulaMachine{tape.NewMachine(written, 1, nil), written}
	for i, column := range c.columns {
		copy(m.Column(written.Outputs[i].Register), column)
	}
	return m
}

type formulaMachine struct {
	tape.Machine
	tape *tape.Tape
}

func (m *formulaMachine) evaluate() []float64 {
	for i := range m.tape.Code {
		if m.tape.Code[i].Op != tape.Draw {
			m.Step(&m.tape.Code[i], 0, tape.BlockSize)
		}
	}
	return m.Column(m.tape.Outputs[len(m.tape.Outputs)-1].Register)
}

// The tape has the same bits as the formula in Go and as the closure tree.
func TestFormulaTapeEqualsNative(t *testing.T) {
	for _, c := range []*formulaCase{comparison(), roots()} {
		m, tree, want := c.machine(t), newClosure(t, c.text, c.names), make([]float64, tape.BlockSize)
		c.native(want, c.columns)
		for range 2 { // columns are used again
			for i, got := range m.evaluate() {
				if got != want[i] || got != tree(c.rows[i]) {
					t.Fatalf("%s, trial %d: tape %v, closures %v, native %v", c.text, i, got, tree(c.rows[i]), want[i])
				}
			}
		}
	}
}

// randomText is a formula of a, b and c that uses each, without a root or quotient that
// could fail for positive arguments below 2.
func randomText(rnd *rand.Rand, depth int) string {
	if depth == 0 {
		return [...]string{"a", "b", "c", "1.25", "3e-1"}[rnd.IntN(5)]
	}
	x, y := randomText(rnd, depth-1), randomText(rnd, rnd.IntN(depth))
	return [...]string{
		x + " + " + y, x + " - " + y, x + "*" + y, "(" + x + ") * (" + y + ")", "(" + x + ")/(2 + exp(" + y + "))",
		y + " - (" + x + ")", "sqrt(1 + exp(" + x + "))", "exp(sqrt(" + y + "*0 + 1)/9)*" + x, "(" + y + " + " + x + ")",
	}[rnd.IntN(9)]
}

// Random texts have the bits of the closure tree, whatever binds more tightly.
func TestFormulaTextAgainstClosures(t *testing.T) {
	rnd := rand.New(rand.NewPCG(21, 22))
	names, x := []string{"a", "b", "c"}, []float64{1.5, 0.75, 1.125}
	checked := 0
	for range 300 {
		text := randomText(rnd, 1+rnd.IntN(6)) + " + a*b - c"
		tree := newClosure(t, text, names)
		if v := tree(x); math.IsNaN(v) || math.Abs(v) > 1e6 {
			continue
		}
		c := newFormulaCase(text, names, x, nil)
		for i, got := range c.machine(t).evaluate() {
			if want := tree(c.rows[i]); got != want && !(math.IsNaN(got) && math.IsNaN(want)) {
				t.Fatalf("%s at %v: tape %v, closures %v", text, c.rows[i], got, want)
			}
		}
		checked++
	}
	if checked < 200 {
		t.Errorf("%d of 300 formulas checked", checked)
	}
}

func TestFormulaTapeAllocations(t *testing.T) {
	m := roots().machine(t)
	if n := testing.AllocsPerRun(20, func() { m.evaluate() }); n != 0 {
		t.Errorf("%v allocations for a block of trials, want none", n)
	}
}

// One operation is a block of trials; impl=parse is the way from the text to the tape.
func BenchmarkFormula(b *testing.B) {
	c := comparison()
	run := func(impl string, f func()) {
		b.Run("impl="+impl, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f()
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/tape.BlockSize, "ns/trial")
		})
	}
	m, tree, dst := c.machine(b), newClosure(b, c.text, c.names), make([]float64, tape.BlockSize)
	run("tape", func() { m.evaluate() })
	run("closure", func() {
		for i, row := range c.rows {
			dst[i] = tree(row)
		}
	})
	run("native", func() { c.native(dst, c.columns) })
	b.Run("impl=parse", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			c.parse(b, false)
		}
	})
}
