// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"fmt"
	"io"
	"strconv"
	"unicode/utf8"

	"example.com/ohmwright/uncertainty/unit"
)

// The verbs of package fmt for values that are not numbers themselves but made of them. A verb with
// a precision goes through to the figures, so that "%.3f" does for an interval what it does for its
// ends; what a type cannot print comes out as fmt has it, %!x(type=value), and not as an error or a
// panic. fmt calls Format in place of String and Error, which therefore go through it.

// String returns the interval as "[lower, upper]", with its unit behind it.
func (i Interval) String() string { return fmt.Sprint(i) }

// Format prints the interval as "[lower, upper]". The verbs v, s, e, f and g with their
// flags, width and precision are those of each end. The verbs v and s print the unit too: "%v"
// prints "[0.95, 1.05] Ω", "%.3f Ω" the same with three decimals.
func (i Interval) Format(f fmt.State, verb rune) {
	switch {
	case verb == 'v' && f.Flag('#'):
		fmt.Fprintf(f, "uncertainty.Interval{Lower:%#v, Upper:%#v, Unit:%q}", i.Lower, i.Upper,
			i.Unit)
	case isNumeric(verb), verb == 'v':
		// The same flags for both ends.
		end := fmt.FormatString(f, verb)
		text := fmt.Sprintf("["+end+", "+end+"]", i.Lower, i.Upper)
		if verb == 'v' {
			text = withUnit(text, i.Unit)
		}
		io.WriteString(f, text) // its errors are those of the printing function
	case verb == 's':
		io.WriteString(f, withUnit(fmt.Sprintf("[%v, %v]", i.Lower, i.Upper), i.Unit))
	default:
		fmt.Fprintf(f, "%%!%c(uncertainty.Interval=%v)", verb, i)
	}
}

// String returns the expanded uncertainty in the form "U = 0.0163 Ω (k = 1.96, 95 %)".
func (e Expanded) String() string { return fmt.Sprint(e) }

// Format prints the expanded uncertainty with its coverage factor and probability:
// "U = 0.0163 Ω (k = 1.96, 95 %)". The verbs v, s, e, f and g with their flags, width and
// precision are those of U; the factor has three digits.
func (e Expanded) Format(f fmt.State, verb rune) {
	switch {
	case verb == 'v' && f.Flag('#'):
		fmt.Fprintf(f, "uncertainty.Expanded{P:%#v, K:%#v, U:%#v, Interval:%#v}", e.P, e.K, e.U,
			e.Interval)
	case isNumeric(verb), verb == 'v':
		fmt.Fprintf(f, "U = %s (k = %.3g, %s %%)",
			withUnit(fmt.Sprintf(fmt.FormatString(f, verb), e.U), e.Unit), e.K, unit.Percent(e.P))
	case verb == 's':
		fmt.Fprintf(f, "U = %s (k = %.3g, %s %%)", withUnit(fmt.Sprint(e.U), e.Unit), e.K,
			unit.Percent(e.P))
	default:
		fmt.Fprintf(f, "%%!%c(uncertainty.Expanded=%v)", verb, e)
	}
}

// Format prints the quantity. The verbs v and s print what [Quantity.String] returns, a
// precision being the number of significant digits of the uncertainty: "%.1v" prints
// "10000.178(8) Ω". The verbs e, f and g print the estimate alone, as a float64 and
// without its unit: "%.2f Ω". An error is printed in place of either.
func (q Quantity) Format(f fmt.State, verb rune) {
	switch {
	case verb == 'v' && f.Flag('#'):
		fmt.Fprintf(f, "uncertainty.Quantity(%q)", q.concise(2))
	case verb == 'v', verb == 's':
		// %.1v asks for one digit of the uncertainty.
		digits, ok := f.Precision()
		if !ok {
			digits = 2
		}
		padded(f, q.concise(digits))
	case verb == 'q':
		padded(f, strconv.Quote(q.concise(2)))
	case isNumeric(verb) && q.Err() == nil:
		fmt.Fprintf(f, fmt.FormatString(f, verb), q.Estimate())
	case isNumeric(verb):
		padded(f, q.concise(2))
	default:
		fmt.Fprintf(f, "%%!%c(uncertainty.Quantity=%v)", verb, q)
	}
}

// concise is the text of String with so many digits of the uncertainty, one at least. It evaluates
// the quantity: printing costs a budget. An error is printed as "!(text)", in the manner of fmt.
func (q Quantity) concise(digits int) string {
	b, err := Evaluate(q)
	if err != nil {
		return "!(" + err.Error() + ")"
	}
	return b.Concise(max(1, digits))
}

// isNumeric reports whether a verb prints a number with a precision. x and b do, too, of a float64,
// but nobody reads a resistance in them.
func isNumeric(verb rune) bool {
	switch verb {
	case 'e', 'E', 'f', 'F', 'g', 'G':
		return true
	}
	return false
}

// padded writes a text in the width that is asked for, which counts characters: Ω and µ are two
// bytes each, and a table whose columns were counted in bytes would not stand.
func padded(f fmt.State, text string) {
	width, _ := f.Width()
	blanks := fmt.Sprintf("%*s", max(0, width-utf8.RuneCountInString(text)), "")
	if f.Flag('-') {
		text += blanks
	} else {
		text = blanks + text
	}
	io.WriteString(f, text) // its errors are those of the printing function
}
