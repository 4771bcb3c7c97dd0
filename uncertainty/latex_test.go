// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty_test

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"example.com/ohmwright/uncertainty"
)

func latex(t testing.TB, q uncertainty.Quantity) string {
	t.Helper()
	var s strings.Builder
	if err := evaluate(t, q).WriteLaTeX(&s); err != nil {
		t.Fatal(err)
	}
	return s.String()
}

// wellFormed checks what would stop LaTeX: braces, mathematics, cells of a row,
// characters with a meaning.
func wellFormed(t testing.TB, text string) {
	t.Helper()
	depth, math := 0, false
	plain := strings.NewReplacer(`\\`, "", `\{`, "", `\}`, "", `\$`, "", `\&`, "", `\#`, "", `\%`,
		"", `\_`, "").Replace(text)
	for _, r := range plain {
		switch r {
		case '{':
			depth++
		case '}':
			depth--
		case '$':
			math = !math
		case '^', '_':
			if !math {
				t.Errorf("%c outside mathematics in %q", r, text)
			}
		case '#', '%', '~':
			t.Errorf("%c not escaped in %q", r, text)
		}
		if depth < 0 {
			t.Errorf("brace closed too often in %q", text)
		}
	}
	if depth != 0 || math {
		t.Errorf("%d braces open, mathematics open %v in %q", depth, math, text)
	}
	for line := range strings.Lines(text) {
		if strings.HasSuffix(line, "\\\\\n") && strings.Count(strings.ReplaceAll(line, `\&`, ""), "&") != 8 {
			t.Errorf("row without 9 cells: %q", line)
		}
	}
}

func TestLaTeXEscapes(t *testing.T) {
	for name, want := range map[string]string{
		`50 % & 3_a`:  `50 \% \& 3\_a`,
		`\input{x}`:   `\textbackslash{}input\{x\}`,
		`$x^2$ #1 ~`:  `\$x\textasciicircum{}2\$ \#1 \textasciitilde{}`,
		`[first`:      `{[}first`,
		`* star--`:    `{*} star{-}{-}`,
		"two\nlines":  "two lines",
		`R₁ in Ω ± µ`: `R₁ in $\Omega$ $\pm$ $\mu$`,
		`1e5 meter`:   `1e5 meter`,
		`"a" <b> |c|`: `''a'' $<$b$>$ $|$c$|$`,
	} {
		text := latex(t, uncertainty.Source{Name: name, Unit: "°C²·Ω",
			Distribution: uncertainty.Normal(-1.5e-7, 1e-9)}.Input())
		if !strings.Contains(text, "\n"+want+" & ") {
			t.Errorf("%q: want %q in\n%s", name, want, text)
		}
		wellFormed(t, text)
		if !strings.Contains(text, `$-$1.500$\times10^{-7}$ $^\circ$C$^2$$\cdot$$\Omega$`) {
			t.Errorf("number with exponent and unit in\n%s", text)
		}
	}
}

func TestLaTeXOfEverything(t *testing.T) {
	j := uncertainty.JointSource{Names: []string{"U_1", "I"}, Estimates: []float64{5, 0.02},
		Covariance: mat.NewSymDense(2, []float64{1e-6, 1e-9, 1e-9, 1e-10}), DOF: 4}.Inputs()
	q := j[0].Div(j[1])
	for i := range 14 {
		q = q.Add(uncertainty.Input("small "+string(rune('a'+i)), uncertainty.Rectangular(0, 1e-9)))
	}
	text := latex(t, q.Named("R_x"))
	wellFormed(t, text)
	for _, want := range []string{"and 14 more", `r(U\_1, I)`, "Warning: Welch–Satterthwaite", `R\_x`} {
		if want == "Warning: Welch–Satterthwaite" {
			want = "Warning: Welch--Satterthwaite"
		}
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if err := evaluate(t, q).WriteLaTeX(fullDisk{}); !errors.Is(err, errFull) {
		t.Errorf("full disk: %v", err)
	}
}

var errFull = errors.New("full")

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func FuzzLaTeX(f *testing.F) {
	f.Add("a & b", "Ω%")      // specials
	f.Add("\\{$", "x^2")      // commands
	f.Add("e-7 1e-7", "[*--") // what looks like a number
	f.Fuzz(func(t *testing.T, name, unit string) {
		if b, err := uncertainty.Evaluate(uncertainty.Source{Name: name, Unit: unit,
			Distribution: uncertainty.Normal(1e-9, 1e-12)}.Input()); err == nil {
			var s strings.Builder
			if err := b.WriteLaTeX(&s); err != nil {
				t.Fatal(err)
			}
			wellFormed(t, s.String())
		}
	})
}

func ExampleBudget_WriteLaTeX() {
	v := uncertainty.Source{Name: "V", Unit: "V", Distribution: uncertainty.Normal(1.25, 0.0005)}.Input()
	i := uncertainty.Source{Name: "I_s", Unit: "A", Distribution: uncertainty.Rectangular(0.01, 2e-6)}.Input()
	b, err := uncertainty.Evaluate(v.Div(i).Named("R"))
	if err == nil {
		err = b.WriteLaTeX(os.Stdout)
	}
	if err != nil {
		fmt.Println(err)
	}
	// Output:
	// \begin{tabular}{lrrclrrrr}
	// \hline
	// Quantity & Estimate & Standard uncertainty & Type & Distribution & Degrees of freedom & Sensitivity coefficient & Uncertainty contribution & Share of variance \\
	// \hline
	// V & 1.25000 V & 0.00050 V & B & normal & $\infty$ & 100.0 & 0.050 $\Omega$ & 92.31 \% \\
	// I\_s & 0.0100000 A & 1.2$\times10^{-6}$ A & B & rectangular & $\infty$ & $-$12500 & $-$0.014 $\Omega$ & 7.69 \% \\
	// \hline
	// R & 125.000 $\Omega$ & 0.052 $\Omega$ &  &  & $\infty$ &  &  &  \\
	// \hline
	// \end{tabular}
	//
	// R = (125.00 $\pm$ 0.10) $\Omega$, k = 1.96, coverage probability 95 \%
	//
	// R = 125.000(52) $\Omega$, standard uncertainty in parentheses
}
