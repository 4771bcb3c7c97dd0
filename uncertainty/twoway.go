// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"math"

	"example.com/ohmwright/uncertainty/unit"
)

// TwoWay is an analysis of variance of two crossed factors: each row (a day, an operator)
// meets each column (an instrument, a resistor), with the same number of repeats in every
// cell. The lines add up to the sum of squares about the mean.
type TwoWay struct {
	Rows, Columns, Repeats int
	Mean                   float64 // of all observations

	Row         SumOfSquares // between rows
	Column      SumOfSquares // between columns
	Interaction SumOfSquares // what the sum of both does not explain; the residual if no repeats
	Within      SumOfSquares // repeats within their cell; none without repeats
}

// NewTwoWay analyses observations in one unit: cells[i][k] holds the repeats of row i in
// column k. Sums of squares are those of deviations from compensated means. Fewer than two
// rows or columns ([ErrObservations]), rows of different lengths and cells of different
// size ([ErrDomain]), and values that are not finite ([ErrNotFinite]) are refused.
func NewTwoWay(cells [][][]float64) (*TwoWay, error) {
	const op = "NewTwoWay"
	a, err := twoWayShape(cells)
	if err != nil {
		return nil, err
	}
	var all, rows, columns []float64 // observations, means of rows and of columns
	var within compensated
	middles := make([][]float64, a.Rows) // means of cells
	// Cells of one column lie in different rows and are collected apart.
	byColumn := make([][]float64, a.Columns)
	for i, row := range cells {
		var observed []float64
		for k, cell := range row {
			m, err := mean(op, cell)
			if err != nil {
				return nil, err
			}
			within.add(squaresAbout(m, cell))
			middles[i] = append(middles[i], m)
			observed = append(observed, cell...)
			byColumn[k] = append(byColumn[k], cell...)
		}
		m, err := mean(op, observed)
		if err != nil {
			return nil, err
		}
		rows, all = append(rows, m), append(all, observed...)
	}
	for _, observed := range byColumn {
		m, err := mean(op, observed)
		if err != nil {
			return nil, err
		}
		columns = append(columns, m)
	}
	if a.Mean, err = mean(op, all); err != nil {
		return nil, err
	}
	var between compensated
	// What row and column together do not explain: x̄_ik − x̄_i − x̄_k + x̄.
	for i, row := range middles {
		for k, m := range row {
			// Differences of near values first: the mean itself would cost digits.
			d := (m - rows[i]) - (columns[k] - a.Mean)
			between.add(float64(d * d))
		}
	}
	n := float64(a.Repeats)
	// Each row mean stands for all observations of the row.
	a.Row.Sum = float64(a.Columns) * n * squaresAbout(a.Mean, rows)
	a.Column.Sum = float64(a.Rows) * n * squaresAbout(a.Mean, columns)
	a.Interaction.Sum = n * (between.sum + between.lost)
	a.Within.Sum = within.sum + within.lost
	// Sums of squares of large values may overflow.
	for _, s := range []SumOfSquares{a.Row, a.Column, a.Interaction, a.Within} {
		if err := number("sum of squares", s.Sum); err != nil {
			return nil, refused("uncertainty."+op, "", err)
		}
	}
	return a, nil
}

// twoWayShape counts rows, columns and repeats, and the degrees of freedom.
func twoWayShape(cells [][][]float64) (*TwoWay, error) {
	refuse := func(v int, err error) (*TwoWay, error) {
		return nil, &Error{Op: "uncertainty.NewTwoWay", Value: float64(v), Err: err}
	}
	a := &TwoWay{Rows: len(cells)}
	if a.Rows < 2 {
		return refuse(a.Rows, unit.Errorf(ErrObservations, "%s; expected 2 or more",
			unit.Counted(a.Rows, "row", "rows")))
	}
	// The first row and cell say how many there must be in all others: only balanced tables have
	// lines that add up to the whole.
	a.Columns = len(cells[0])
	if a.Columns < 2 {
		return refuse(a.Columns, unit.Errorf(ErrObservations, "%s; expected 2 or more",
			unit.Counted(a.Columns, "column", "columns")))
	}
	a.Repeats = len(cells[0][0])
	for i, row := range cells {
		if len(row) != a.Columns {
			return refuse(len(row), unit.Errorf(ErrDomain,
				"row %d has %s, the first %d; expected equally many", i+1, unit.Counted(len(row),
					"column", "columns"), a.Columns))
		}
		for k, cell := range row {
			if len(cell) == 0 || len(cell) != a.Repeats {
				return refuse(len(cell), unit.Errorf(ErrDomain,
					"row %d, column %d has %s, the first cell %d; expected equally many, at "+
						"least 1", i+1, k+1,
					unit.Counted(len(cell), "observation", "observations"), a.Repeats))
			}
		}
	}
	// The degrees of freedom add up to N − 1: for 3 rows, 4 columns and 2 repeats, 2 + 3 + 6 + 12 =
	// 23.
	a.Row.DOF, a.Column.DOF = a.Rows-1, a.Columns-1
	a.Interaction.DOF = a.Row.DOF * a.Column.DOF
	a.Within.DOF = a.Rows * a.Columns * (a.Repeats - 1)
	return a, nil
}

// TwoWayComponents are the standard deviations of the sources of variation, in the unit of
// the observations; 0 where a source contributes less than chance.
type TwoWayComponents struct {
	Row, Column, Interaction, Within float64
}

// Components returns the standard deviations of rows, columns, their interaction and the
// repeats, where rows and columns are drawn from many (the random model):
//
//	σ_row² = (MS_row − MS_interaction)/(columns·repeats), and so on.
//
// Without repeats Interaction holds interaction and repeats together, and Within is NaN.
func (a *TwoWay) Components() TwoWayComponents {
	a = cmp.Or(a, &TwoWay{})
	n := float64(a.Repeats)
	c := TwoWayComponents{
		Row:         a.Row.excess(a.Interaction, n*float64(a.Columns)),
		Column:      a.Column.excess(a.Interaction, n*float64(a.Rows)),
		Interaction: a.Interaction.excess(a.Within, n),
		Within:      math.Sqrt(a.Within.MeanSquare()),
	}
	// Without repeats the residual is all that is left.
	if a.Within.DOF == 0 {
		c.Interaction = math.Sqrt(a.Interaction.MeanSquare())
	}
	return c
}

// MeanOfAll returns the mean with the uncertainty of what varies from row to row and from
// column to column, where both are drawn from many:
//
//	u² = (MS_row + MS_column − MS_interaction)/N
//
// with the degrees of freedom of Welch and Satterthwaite, and never less than the largest of
// the three alone gives: a component below zero counts as 0.
func (a *TwoWay) MeanOfAll() Distribution {
	a = cmp.Or(a, &TwoWay{})
	row, column, rest := a.Row.MeanSquare(), a.Column.MeanSquare(), a.Interaction.MeanSquare()
	// E(MS_row) + E(MS_column) − E(MS_interaction) is N times the variance of the mean.
	square := row + column - rest
	// Welch and Satterthwaite for a sum of mean squares (GUM G.4.1).
	dof := square * square / (float64(row*row)/float64(a.Row.DOF) +
		float64(column*column)/float64(a.Column.DOF) +
		float64(rest*rest)/float64(a.Interaction.DOF))
	for _, s := range []SumOfSquares{a.Row, a.Column, a.Interaction} {
		// A sum below its largest part means that a component came out negative.
		if m := s.MeanSquare(); m > square || !(dof > 0) {
			square, dof = m, float64(s.DOF)
		}
	}
	return StudentT(a.Mean, math.Sqrt(square/float64(a.Rows*a.Columns*a.Repeats)), dof)
}
