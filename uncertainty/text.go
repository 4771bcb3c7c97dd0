// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"unicode"

	"example.com/ohmwright/uncertainty/elementary"
	"example.com/ohmwright/uncertainty/unit"
)

// String returns the budget as [Budget.WriteText] writes it.
func (b *Budget) String() string {
	b = cmp.Or(b, &Budget{})
	var s strings.Builder
	b.WriteText(&s) // a strings.Builder takes everything
	return s.String()
}

// Concise returns estimate and standard uncertainty in the form y(u), the digits in
// parentheses being the uncertainty of the last digits (GUM 7.2.2), u rounded to
// the given number of significant digits; the unit follows if there is one.
func (b *Budget) Concise(digits int) string {
	b = cmp.Or(b, &Budget{})
	return withUnit(FormatConcise(b.Estimate, b.StandardUncertainty, digits), b.Unit)
}

// PlusMinus returns estimate and expanded uncertainty in the form y ± U (GUM 7.2.4), at the
// coverage probability of the budget, 95 % unless [Budget.AtCoverage] changed it; U is rounded
// to the given number of significant digits; with a unit it
// is (y ± U) unit.
func (b *Budget) PlusMinus(digits int) string {
	b = cmp.Or(b, &Budget{})
	return b.plusMinus(b.Expanded, digits)
}

// plusMinus puts the number in parentheses before a unit, which belongs to both parts.
func (b *Budget) plusMinus(e Expanded, digits int) string {
	s := FormatPlusMinus(b.Estimate, e.U, digits)
	if b.Unit == "" || b.Unit == "1" {
		return s
	}
	return "(" + s + ") " + b.Unit
}

// A budget leaves as text in four ways. How their figures are rounded:
//
//	for people      estimates to the second digit of their own u, uncertainties to two
//	                digits, sensitivities to four, shares to 0.01 %: text, Markdown, Table
//	CSV             all digits of the float64; degrees of freedom and shares to six
//	JSON            all digits, see json.go
//	y(u), y ± U     to the digits that are asked for, see round.go
//
// What people read is made of the same cells, in the same order, whatever the layout: columns,
// cells, lastCells and statement.

// columns heads the budget in the terms and order of the guides; the contribution
// carries the unit of the measurand. CSV files keep these names: changing one breaks their readers.
var columns = []string{
	"Quantity", "Estimate", "Standard uncertainty", "Type", "Distribution", "Degrees of freedom",
	"Sensitivity coefficient", "Uncertainty contribution",
}

const (
	// foldBelow is the share of variance under which a row of a long text budget is counted, not
	// shown: 0.01 % at most. A hundred such rows together are 1 % of the variance, 0.5 % of
	// u. Files show every row.
	foldBelow = 1e-4
	// foldFrom is the number of rows up to which all are shown: as many as a screen has room for
	// beside the result, the shares and the warnings.
	foldFrom = 12
)

// folded splits the rows into those that a reader wants to see, in the order of the budget, and the
// number of the others with their common share of the variance. A row of a small share by itself
// is folded, also one that is most of a covariance elsewhere: the line of that covariance stays.
func (b *Budget) folded() (shown []Component, rest int, share float64) {
	for _, c := range b.Components {
		// A negative share, of an input that is correlated, may be large.
		if len(b.Components) > foldFrom && math.Abs(c.Share) < foldBelow {
			rest++
			share += c.Share
			continue
		}
		shown = append(shown, c)
	}
	return shown, rest, share
}

// cells are the texts of a row in the order of columns. Estimate and u carry the unit of the input,
// the contribution that of the measurand; the sensitivity, whose unit is a quotient, carries none.
// A relative budget has cells of its own, see relative.go.
func (b *Budget) cells(c Component) []string {
	if b.relative {
		return b.relativeCells(c)
	}
	unit := b.Unit
	return []string{
		c.title(), withUnit(roundedTo(c.Estimate, c.StandardUncertainty), c.Unit),
		withUnit(significant(c.StandardUncertainty, 2), c.Unit), c.Type.String(), c.Distribution,
		degrees(c.DOF),
		significant(c.Sensitivity, 4), withUnit(significant(c.Contribution, 2), unit),
	}
}

// title keeps the first cell from being empty, which a reader would take for a slip.
func (c Component) title() string {
	if c.Name == "" {
		return "(no name)"
	}
	return inLine(c.Name)
}

// title is the name of the measurand, or a word in its place.
func (b *Budget) title() string {
	if b.Name == "" {
		return "result"
	}
	return inLine(b.Name)
}

// lastCells are those of the measurand, which has no type, law or coefficient.
func (b *Budget) lastCells() []string {
	if b.relative {
		return []string{
			b.title(), withUnit(roundedTo(b.Estimate, b.StandardUncertainty), b.Unit),
			significant(b.relativeTo(b.StandardUncertainty), 2), "", "", degrees(b.DOF), "", "",
		}
	}
	return []string{
		b.title(), withUnit(roundedTo(b.Estimate, b.StandardUncertainty), b.Unit),
		withUnit(significant(b.StandardUncertainty, 2), b.Unit), "", "", degrees(b.DOF), "", "",
	}
}

// inLine keeps a text in its line and cell: a name may hold a tab, which tabwriter takes for the
// end of a cell, or a line break. Each such character becomes a blank, so that nothing moves.
func inLine(text string) string {
	return strings.Map(func(r rune) rune {
		// Line separators of Unicode break a line as a newline does.
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)
}

// restLine stands for the rows that were folded. Their share may be negative, of correlated inputs.
func restLine(rest int, share float64) string {
	return fmt.Sprintf("and %d more, together %s %% of the variance", rest,
		significant(100*share, 1))
}

// statement is the result in words, a line each: what is to be quoted first (GUM 7.2.3 and 7.2.1),
// the standard uncertainty, the relative figures if asked for, and what is correlated (GUM
// 7.2.7 b, from memory).
func (b *Budget) statement() []string {
	lines := append(b.expandedLines(), fmt.Sprintf("%s = %s, standard uncertainty in parentheses",
		b.title(), b.Concise(2)))
	if b.relative {
		lines = append(lines, b.relativeLine())
	}
	for _, c := range b.Correlations {
		lines = append(lines, fmt.Sprintf("correlation coefficient r(%s, %s) = %s, covariance "+
			"%.2f %% of the variance", c.A, c.B, significant(c.R, 3), 100*c.Share))
	}
	return lines
}

// expandedLines state y ± U: first by the laws of the inputs where that interval is known
// and is not that of k·u. One rectangle of ± 5 mΩ has u = 2.9 mΩ and k·u = 5.7 mΩ at 95 %, beyond
// the worst case; its own interval is ± 4.75 mΩ, which is the one to quote.
func (b *Budget) expandedLines() []string {
	e := b.Expanded
	probability := unit.Percent(e.P) + " %"
	// More than 1 % apart: what the laws say is stated, and k·u only mentioned. Below, both print
	// the same two digits, or nearly so, and two statements would only raise questions.
	if i, err := b.BestInterval(e.P); err == nil && math.Abs(i.Width()/2-e.U) > 0.01*e.U {
		best := Expanded{P: e.P, U: i.Width() / 2, Interval: i}
		return []string{
			fmt.Sprintf("%s = %s, coverage probability %s, from the distributions of the inputs",
				b.title(), b.plusMinus(best, 2), probability),
			fmt.Sprintf("k·u = %s with k = %s would hold for a normal distribution",
				withUnit(significant(e.U, 2), b.Unit), significant(e.K, 3)),
		}
	}
	return []string{fmt.Sprintf("%s = %s, k = %s, coverage probability %s", b.title(),
		b.plusMinus(e, 2), significant(e.K, 3), probability)}
}

// WriteText writes the budget as a table for a screen: the columns of the guides,
// the result, the shares of variance, the warnings. Of more than twelve rows those with less
// than 0.01 % of the variance are counted, not shown.
func (b *Budget) WriteText(w io.Writer) error {
	b = cmp.Or(b, &Budget{})
	shown, rest, share := b.folded()
	return b.writeText(w, shown, rest, share)
}

// WriteLargest is WriteText with a given number of rows, those with the largest shares of
// variance, largest first; the others are counted with their common share. The shares of
// correlated inputs, whose covariances count too, need not rank them by importance. Less than 1
// writes all rows.
func (b *Budget) WriteLargest(w io.Writer, rows int) error {
	b = cmp.Or(b, &Budget{})
	all := slices.Clone(b.Components)
	if rows < 1 || rows >= len(all) {
		return b.writeText(w, all, 0, 0)
	}
	slices.SortStableFunc(all, func(a, c Component) int {
		return cmp.Compare(math.Abs(c.Share), math.Abs(a.Share))
	})
	var share float64
	for _, c := range all[rows:] {
		share += c.Share
	}
	return b.writeText(w, all[:rows], len(all)-rows, share)
}

// writeText writes the rows shown, and counts the rest with its share. The errors are those of w.
// The table is laid out as a whole, since a column is as wide as its widest cell.
func (b *Budget) writeText(w io.Writer, shown []Component, rest int, share float64) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	above, below := b.headings()
	lines := [][]string{above, below}
	for _, c := range shown {
		lines = append(lines, b.cells(c))
	}
	lines = append(lines, b.lastCells())
	for _, line := range lines {
		// Trailing empty cells would leave blanks at the end of the line.
		fmt.Fprintln(t, strings.TrimRight(strings.Join(line, "\t"), "\t"))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if rest > 0 {
		if _, err := fmt.Fprintln(w, restLine(rest, share)); err != nil {
			return err
		}
	}
	if _, err := fmt.Fprintf(w, "\n%s\n", strings.Join(b.statement(), "\n")); err != nil {
		return err
	}
	if err := b.writeShares(w, shown); err != nil {
		return err
	}
	for _, warning := range b.Warnings {
		if _, err := fmt.Fprintf(w, "\nwarning: %v\n", bare(warning)); err != nil {
			return err
		}
	}
	return nil
}

// bare drops the name of package and function from a warning meant for a reader: of
// "uncertainty.Evaluate: Rs: 3 observations…" the name of the input and the reason are left.
func bare(err error) string {
	// The error itself, not what it wraps: a warning of a warning keeps its text.
	e, ok := err.(*Error)
	if !ok || e == nil || e.Err == nil {
		return fmt.Sprint(err)
	}
	if e.Name == "" {
		return e.Err.Error()
	}
	return inLine(e.Name + ": " + e.Err.Error())
}

// writeShares draws the shares of variance, largest first: of the inputs, and of the
// covariances of those that are correlated. They are apart from the budget, since the guides have
// no such column, and are what a reader looks for who wants to know where to spend his money.
func (b *Budget) writeShares(w io.Writer, shown []Component) error {
	type row struct {
		title string
		share float64
	}
	var rows []row
	for _, c := range shown {
		rows = append(rows, row{c.title(), c.Share})
	}
	for _, c := range b.Correlations {
		rows = append(rows, row{inLine("covariance of " + c.A + " and " + c.B), c.Share})
	}
	// Stable, so that equal shares stay in the order of the budget.
	slices.SortStableFunc(rows,
		func(a, c row) int { return cmp.Compare(math.Abs(c.share), math.Abs(a.share)) })
	// What rounds to 0.00 % or little more has no bar.
	rows = slices.DeleteFunc(rows, func(r row) bool { return math.Abs(r.share) < foldBelow })
	if len(rows) == 0 {
		return nil
	}
	if _, err := fmt.Fprintf(w, "\nShare of variance\n"); err != nil {
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		line := fmt.Sprintf("%s\t%6.2f %%\t%s", r.title, 100*r.share, bar(r.share))
		fmt.Fprintln(t, strings.TrimRight(line, "\t"))
	}
	return t.Flush()
}

// bar draws a share, one block for each 5 %; the blocks of a negative one are light. Shares add up
// to 1 with negative ones among them, so that one alone may be above 1.
func bar(share float64) string {
	// 40 blocks fill the line beside a name; the figure says how much more it is.
	n := int(math.Round(20 * math.Min(math.Abs(share), 2)))
	if share < 0 {
		return strings.Repeat("░", n)
	}
	return strings.Repeat("█", n)
}

// WriteMarkdown writes the budget as a Markdown table with the result below it. It uses only the
// Markdown that every reader of it understands, tables and bold; the row of the measurand is
// bold. The shares are a column of the table, since there is no fixed pitch for bars to be drawn
// in.
func (b *Budget) WriteMarkdown(w io.Writer) error {
	b = cmp.Or(b, &Budget{})
	var s strings.Builder
	row := func(cells []string) {
		s.WriteString("|")
		for _, c := range cells {
			// A bar in a name would begin a new cell.
			s.WriteString(" " + strings.ReplaceAll(c, "|", "\\|") + " |")
		}
		s.WriteString("\n")
	}
	// Numbers are set to the right, names and laws to the left.
	row(append(b.columns(), "Share of variance"))
	s.WriteString("|---|--:|--:|:-:|---|--:|--:|--:|--:|\n")
	shown, rest, share := b.folded()
	for _, c := range shown {
		row(append(b.cells(c), fmt.Sprintf("%.2f %%", 100*c.Share)))
	}
	last := b.lastCells()
	last[0] = "**" + last[0] + "**"
	row(append(last, ""))
	if rest > 0 {
		fmt.Fprintf(&s, "\n%s\n", restLine(rest, share))
	}
	for _, line := range b.statement() {
		fmt.Fprintf(&s, "\n%s\n", line)
	}
	for _, warning := range b.Warnings {
		fmt.Fprintf(&s, "\nWarning: %s\n", bare(warning))
	}
	_, err := io.WriteString(w, s.String())
	return err
}

// WriteCSV writes one row for each component and a last one for the measurand, all
// numbers in full precision except for degrees of freedom and shares, which have six digits,
// separated by commas. Infinite degrees of freedom are written "infinite".
// examples/formats/README.md lists the columns.
func (b *Budget) WriteCSV(w io.Writer) error {
	b = cmp.Or(b, &Budget{})
	// Figures without units, which have a column of their own: a spreadsheet then takes them for
	// numbers.
	c := csv.NewWriter(w)
	head := append(slices.Clone(columns), "Share of variance", "Unit", "ID", "Note")
	rows := [][]string{head}
	for _, x := range b.Components {
		rows = append(rows, []string{
			x.Name, format(x.Estimate), format(x.StandardUncertainty), x.Type.String(),
			x.Distribution, word(x.DOF),
			format(x.Sensitivity), format(x.Contribution), strconv.FormatFloat(x.Share, 'g',
				shownDigits, 64), x.Unit, x.ID, x.Note,
		})
	}
	rows = append(rows, []string{b.title(), format(b.Estimate), format(b.StandardUncertainty), "",
		"", word(b.DOF), "", "", "", b.Unit, "", ""})
	return c.WriteAll(rows)
}

// withUnit adds a unit after a space (ISO 80000-1, 7.1.4, from memory), except that of a number.
func withUnit(text, unit string) string {
	if unit == "" || unit == "1" {
		return text
	}
	return text + " " + unit
}

// roundedTo gives x to the place of the second significant digit of u: 10000.0531 with u = 0.0025
// is 10000.0531, with u = 0.25 it is 10000.05, with u = 2500 it is 10000.
func roundedTo(x, u float64) string {
	// An exact value has all its digits.
	if !(u > 0) || math.IsInf(u, 0) {
		return format(x)
	}
	place := lastPlace(u, 2)
	// Far below its uncertainty: 0, without decimals that would be mistaken for figures.
	if decimalOf(x).round(place).digits == "" {
		return "0"
	}
	// Beyond these sizes zeros would only be counted.
	if math.Abs(x) < 1e-4 || math.Abs(x) >= 1e9 {
		// Decimals of the mantissa so that the last one is at the place.
		digits := elementary.DecimalExponent(x) - place
		return trimExponent(strconv.FormatFloat(x, 'e', max(0, digits), 64))
	}
	return roundDecimal(x, place)
}

// significant gives v with n significant digits: 0.0025 and 2500 plainly, 2.5e-7 and 2.5e8 with an
// exponent. Zero and what is not finite are printed as they are.
func significant(v float64, n int) string {
	switch {
	case v == 0 || math.IsNaN(v) || math.IsInf(v, 0):
		return format(v)
	// The plain form, where a reader still sees the size.
	case math.Abs(v) >= 1e-4 && math.Abs(v) < 1e6:
		return roundDecimal(v, lastPlace(v, n))
	}
	return trimExponent(strconv.FormatFloat(v, 'e', n-1, 64))
}

// trimExponent turns 1.2e-07 into 1.2e-7, and 1.2e+08 into 1.2e8: as FormatConcise writes them.
func trimExponent(s string) string {
	mantissa, exponent, ok := strings.Cut(s, "e")
	if !ok {
		return s
	}
	e, _ := strconv.Atoi(exponent)
	return mantissa + "e" + strconv.Itoa(e)
}

// freedoms prints degrees of freedom with their name.
func freedoms(dof float64) string {
	if dof == 1 {
		return "1 degree of freedom"
	}
	return degrees(dof) + " degrees of freedom"
}

// manyDegrees of freedom are as good as infinitely many: Student's factor is the normal one
// to six digits.
const manyDegrees = 1e7

// degrees prints degrees of freedom for a reader.
func degrees(dof float64) string {
	switch {
	case dof > manyDegrees:
		return "∞"
	// From here on three digits are whole numbers with zeros: 1230, not 1.23e+03.
	case dof >= 999.5:
		return significant(dof, 3)
	default:
		return strconv.FormatFloat(dof, 'g', 3, 64)
	}
}

// word prints degrees of freedom for a file, where "∞" would be lost in the wrong encoding.
func word(dof float64) string {
	if math.IsInf(dof, 1) {
		return infinite
	}
	return strconv.FormatFloat(dof, 'g', shownDigits, 64)
}

// shownDigits are those of degrees of freedom and shares in a table for programs: what follows
// is rounding.
const shownDigits = 6

// infinite is the word for infinite degrees of freedom in files.
const infinite = "infinite"
