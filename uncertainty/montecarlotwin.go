// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package uncertainty

import (
	"example.com/ohmwright/uncertainty/file"
)

// TwinMode is the choice of whether a simulation may use twins, see [Twin].
type TwinMode uint8

// The modes. The zero value lets each output have a twin where that helps.
const (
	TwinAuto TwinMode = iota
	TwinOff
)

var twinModes = file.Words[TwinMode]{Type: "uncertainty.TwinMode", Texts: []string{"auto", "off"}}

// String returns "auto" or "off".
func (m TwinMode) String() string { return twinModes.String(m) }

// MarshalText returns "auto" or "off"; another value is refused ([ErrDomain]).
func (m TwinMode) MarshalText() ([]byte, error) { return twinModes.Marshal(m) }

// UnmarshalText reads "auto" or "off".
func (m *TwinMode) UnmarshalText(text []byte) error { return twinModes.Unmarshal(text, m) }

// TwinKind is the kind of function that the twin of an output is.
type TwinKind uint8

// The kinds of twins, each with a distribution function that is known.
const (
	TwinNone        TwinKind = iota // there is none: the figures are those of the trials alone
	TwinLinear                      // Σ c_i·(x_i − estimate), the linear budget
	TwinLogarithmic                 // Σ ln(f(…, x_i, …)/f(estimates)), for products and quotients
	TwinMainEffects                 // Σ (f(…, x_i, …) − f(estimates)), each input alone
	TwinExact                       // the model is linear: its distribution is that of the twin
)

var twinKinds = file.Words[TwinKind]{
	Type: "uncertainty.TwinKind", Texts: []string{"none", "linear", "logarithmic", "main effects",
		"exact"},
}

// String returns the word for the kind, such as "main effects".
func (k TwinKind) String() string { return twinKinds.String(k) }

// MarshalText returns the text of String; another value is refused ([ErrDomain]).
func (k TwinKind) MarshalText() ([]byte, error) { return twinKinds.Marshal(k) }

// UnmarshalText reads the text of String.
func (k *TwinKind) UnmarshalText(text []byte) error { return twinKinds.Unmarshal(text, k) }

// A Twin describes the control variate by which the figures of an output were corrected: a sum of
// functions of one input each that nearly follows the output, and whose distribution is known
// exactly. In each trial the twin takes the same draws as the output; the difference between its
// trials and its distribution shows the sampling error of the run, and the figures of the output
// are corrected by it. [Sampling] holds the errors that are left.
//
// The zero value is that of an output without a twin. "How twins work", in the comment of
// the package, explains more.
type Twin struct {
	Kind   TwinKind `json:"kind"`
	Reason string   `json:"reason,omitempty"` // why there is none

	// The corrections; all are 0 where there is no twin, and with [TwinExact].
	Lower               Control `json:"lower,omitzero"`    // end of the symmetric interval
	Upper               Control `json:"upper,omitzero"`    // the other
	Shortest            Control `json:"shortest,omitzero"` // length of the shortest interval
	Estimate            Control `json:"estimate,omitzero"`
	StandardUncertainty Control `json:"standardUncertainty,omitzero"`
}

// A Control is the correction that a [Twin] makes to one figure of an [Output].
type Control struct {
	// B is the part of the twin's miss that is taken off: the coefficient of regression, of
	// counts at the ends, of values for the estimate, of squares for the standard uncertainty.
	B float64 `json:"b"`

	// Gain is the variance of the figure without the correction over that with it: as many
	// times more trials would do as much. 1 where the figure is not corrected.
	Gain float64 `json:"gain"`
}

// String returns the kind and the gain at the worse end of the symmetric interval, or why there
// is no twin; it is empty for the zero Twin.
func (t Twin) String() string {
	switch {
	case t.Kind == TwinExact:
		return "linear model: convolution, no sampling"
	case t.Kind != TwinNone:
		gain := min(t.Lower.Gain, t.Upper.Gain)
		return t.Kind.String() + " twin, gain " + significant(gain, 2)
	case t.Reason != "":
		return "no twin: " + t.Reason
	}
	return ""
}

// The reasons for which an output has no twin.
const (
	reasonOff     = "turned off"
	reasonFew     = "too few trials"
	reasonFlat    = "no input moves the output by itself"
	reasonCorner  = "the model has a corner at the estimates"
	reasonUnknown = "distribution of the twin not known to 1e-9"
	reasonNoGain  = "the first trials show no gain"
	reasonInvalid = "trials without a finite result"
	reasonStray   = "trials of the twin do not follow its distribution"
)
