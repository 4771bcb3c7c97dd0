// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"cmp"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// WriteLaTeX writes the budget as a plain tabular with the result below it, for any
// LaTeX without packages. Names, units and notes may hold anything: what LaTeX would
// take as a command is escaped, and the signs of measurement (Ω, µ, °, ±, Greek
// letters) are written as mathematics.
func (b *Budget) WriteLaTeX(w io.Writer) error {
	b = cmp.Or(b, &Budget{})
	var s strings.Builder
	row := func(cells []string) { s.WriteString(strings.Join(cells, " & ") + " \\\\\n") }
	s.WriteString("\\begin{tabular}{lrrclrrrr}\n\\hline\n")
	row(append(b.columns(), "Share of variance"))
	s.WriteString("\\hline\n")
	// The same rows as in the printed budget: what is small is folded into one line.
	shown, rest, share := b.folded()
	for _, c := range shown {
		row(append(latexCells(b.cells(c)), latexNumber(fmt.Sprintf("%.2f %%", 100*c.Share))))
	}
	s.WriteString("\\hline\n")
	row(append(latexCells(b.lastCells()), ""))
	s.WriteString("\\hline\n\\end{tabular}\n")
	// What stands outside the table is a paragraph of its own, after an empty line.
	if rest > 0 {
		fmt.Fprintf(&s, "\n%s\n", latexNumber(restLine(rest, share)))
	}
	for _, line := range b.statement() {
		fmt.Fprintf(&s, "\n%s\n", latexNumber(line))
	}
	for _, warning := range b.Warnings {
		fmt.Fprintf(&s, "\nWarning: %s\n", latexText(bare(warning)))
	}
	_, err := io.WriteString(w, s.String())
	return err
}

// latexCells escapes the cells of a row; name, type and distribution, columns 0, 3 and 4, hold no
// numbers: an input named "dial 1e5" keeps its name.
func latexCells(cells []string) []string {
	out := make([]string, len(cells))
	for i, c := range cells {
		switch i {
		case 0, 3, 4:
			out[i] = latexText(c)
		default:
			out[i] = latexNumber(c)
		}
	}
	return out
}

// exponent finds the exponent of a number: a digit before it, so that "1e5" is found and "e5" is
// not.
var exponent = regexp.MustCompile(`([\d)])e([-+]?\d+)\b`)

// latexNumber writes a text with numbers: 1.2e-7 as a product with a power of ten, and
// signs as minus signs. 5(2)e-3 Ω, with a digit or a parenthesis before the e, is 5(2)·10⁻³ Ω.
func latexNumber(text string) string {
	var b strings.Builder
	last := 0
	for _, m := range exponent.FindAllStringSubmatchIndex(text, -1) {
		// m[3] is the end of the digit before the e, m[4] to m[5] are the digits after it.
		b.WriteString(latexSigned(text[last:m[3]]))
		b.WriteString("$\\times10^{" + strings.TrimPrefix(text[m[4]:m[5]], "+") + "}$")
		last = m[1]
	}
	b.WriteString(latexSigned(text[last:]))
	return b.String()
}

// sign finds a hyphen that is a minus sign: before a digit, at the beginning or after a space or
// parenthesis.
var sign = regexp.MustCompile(`(^|[ (])-(\d)`)

// latexSigned makes minus signs of hyphens before digits, then escapes. In this order: an escaped
// hyphen is {-}, which the expression would not find.
func latexSigned(text string) string {
	return latexText(sign.ReplaceAllString(text, "$1−$2"))
}

// latexText escapes text without numbers.
func latexText(text string) string { return latexSigns.Replace(text) }

// latexSigns escapes what LaTeX gives a meaning, a bracket or star after the end of a
// row included ("\\[" sets a distance, "\\*" forbids a page break), and ligatures of dashes ("--").
// Signs of measurement become mathematics, which every engine and font has. The two Ω and the two
// µ of Unicode, the letter and the sign, look alike and come out alike. A Replacer does all in one
// sweep, so that no replacement is escaped again.
var latexSigns = strings.NewReplacer(
	"\\", "\\textbackslash{}", "{", "\\{", "}", "\\}", "$", "\\$", "&", "\\&", "#", "\\#", "%",
	"\\%", "_", "\\_",
	"~", "\\textasciitilde{}", "^", "\\textasciicircum{}", "<", "$<$", ">", "$>$", "|", "$|$", "\"",
	"''", "[", "{[}", "*", "{*}", "-", "{-}",
	"\n", " ", "\r", " ", "\t", " ", "\x00", "", "\x7f", "",
	"−", "$-$", "±", "$\\pm$", "·", "$\\cdot$", "×", "$\\times$", "√", "$\\surd$", "∞", "$\\infty$",
	"≤", "$\\le$", "≥", "$\\ge$",
	"°", "$^\\circ$", "²", "$^2$", "³", "$^3$", "⁻", "$^-$", "¹", "$^1$", "½", "1/2", "…",
	"\\dots{}", "–", "--", "—", "---",
	"Ω", "$\\Omega$", "\u2126", "$\\Omega$", "µ", "$\\mu$", "μ", "$\\mu$",
	"Δ", "$\\Delta$", "Σ", "$\\Sigma$", "Φ", "$\\Phi$", "Θ", "$\\Theta$", "α", "$\\alpha$", "β",
	"$\\beta$", "γ", "$\\gamma$",
	"δ", "$\\delta$", "ε", "$\\varepsilon$", "η", "$\\eta$", "θ", "$\\theta$", "κ", "$\\kappa$",
	"λ", "$\\lambda$", "ν", "$\\nu$",
	"π", "$\\pi$", "ρ", "$\\rho$", "σ", "$\\sigma$", "τ", "$\\tau$", "φ", "$\\varphi$", "χ",
	"$\\chi$", "ω", "$\\omega$",
)
