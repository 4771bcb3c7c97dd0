// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Budget evaluates a measurement model from a file: by the law of propagation (JCGM 100),
// with second-order terms, and by Monte Carlo (JCGM 101), and says by clause 8 whether the
// first may be used.
//
//	go run ./examples/budget
//	go run ./examples/budget -model mybox/model.json
//	go run ./examples/budget -worked gum-h1
//	go run ./examples/budget -model mybox/model.json -coverage "95.45 %" -digits 2 \
//		-vary lead -out mybox/budget
//
// Without flags it is a lesson on two invented cases: what a budget is made of, and when it
// may be believed. A 10 kΩ resistor is measured by substitution: the same ohmmeter reads it
// and a standard in turn, so that only the ratio of the readings counts. Then a current is
// found from a voltage and a resistance that is poorly known.
//
// examples/formats/README.md describes the file.
package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/examples/internal/models"
	"example.com/ohmwright/uncertainty"
	"example.com/ohmwright/uncertainty/unit"
)

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "budget:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

func run(out io.Writer, arguments []string) error {
	if len(arguments) == 0 {
		return lesson(out)
	}
	p := files.New("budget", nil,
		"go run ./examples/budget -model mybox/model.json",
		`go run ./examples/budget -model mybox/model.json -coverage "95.45 %" -digits 2 `+
			`-vary lead -out mybox/budget`)
	modelFile := p.File("model")
	worked := p.Flags.String("worked", "", "worked `example` in place of a model, see below")
	p.Explain(writeWorked)
	coverage := 0.95
	p.Quantity(&coverage, "coverage", "coverage `probability`; 95.45 % goes with k = 2",
		unit.Fraction, "")
	trials := p.Flags.Int("trials", 1_000_000, "`number` of Monte Carlo trials")
	seed := p.Flags.Uint64("seed", 1, "`number` that seeds the random numbers")
	digits := p.Flags.Int("digits", 1, "significant `digits` of u to which the linear result is "+
		"judged (JCGM 101 clause 8): 1 or 2")
	vary := p.Flags.String("vary", "", "`input` to vary, to show its effect")
	p.Formats("text", "markdown", "csv", "json", "latex")
	if run, err := p.Parse(arguments, out); !run {
		return err
	}
	if *trials < 0 {
		return fmt.Errorf("-trials %d; expected 0 or more", *trials)
	}
	y, err := model(p, *modelFile, *worked)
	if err != nil {
		return err
	}
	r, err := evaluate(context.Background(), y, coverage, *digits, *vary,
		uncertainty.MonteCarlo{Trials: *trials, Seed: *seed, Coverage: coverage})
	if err != nil {
		return unit.Cause(err)
	}
	return p.Write(out, "budget",
		files.Form{Format: "text", Write: r.writeText},
		files.Form{Format: "markdown", Write: r.Budget.WriteMarkdown},
		files.Form{Format: "csv", Write: r.Budget.WriteCSV},
		files.JSON(r),
		files.Form{Format: "latex", Write: r.Budget.WriteLaTeX})
}

// model is that of a file, or a worked example.
func model(p *files.Program, file, worked string) (uncertainty.Quantity, error) {
	switch {
	case file != "" && worked != "":
		return uncertainty.Quantity{}, errors.New("-model and -worked; expected one of them")
	case file != "":
		return files.Open(p, file, "", uncertainty.ReadModel)
	case worked == "":
		return uncertainty.Quantity{}, errors.New("no -model; expected the file that holds the " +
			"model, a worked example (-worked), or no flag at all for the lesson")
	}
	text, err := models.Text(worked)
	if err != nil {
		return uncertainty.Quantity{}, fmt.Errorf("-worked: %w; budget -h lists them", err)
	}
	return uncertainty.ReadModel(bytes.NewReader(text))
}

// writeWorked lists the worked examples, files that can be handed out.
func writeWorked(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintln(&b, "\nWorked examples, files in examples/internal/models/files:")
	for _, m := range models.All {
		fmt.Fprintf(&b, "  %-24s %s\n", m.Name, m.Title)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// result is everything that is said of one measurand.
type result struct {
	Model       string                  `json:"model,omitempty"`
	Budget      *uncertainty.Budget     `json:"budget"`
	SecondOrder *uncertainty.Budget     `json:"secondOrder,omitempty"`
	Simulation  *uncertainty.Simulation `json:"simulation"`
	Comparison  uncertainty.Comparison  `json:"comparison"`
	Vary        *uncertainty.Variation  `json:"vary,omitempty"`
	noSecond    error                   // why there is none
}

func evaluate(ctx context.Context, y uncertainty.Quantity, coverage float64, digits int,
	vary string, m uncertainty.MonteCarlo) (*result, error) {
	linear, err := uncertainty.Evaluate(y)
	if err != nil {
		return nil, err
	}
	r := &result{Model: y.Expression()}
	if r.Budget, err = linear.AtCoverage(coverage); err != nil {
		return nil, err
	}
	if r.SecondOrder, r.noSecond = uncertainty.SecondOrder(y); r.noSecond != nil {
		r.SecondOrder = nil
	}
	if r.Simulation, err = m.Run(ctx, y); err != nil {
		return nil, err
	}
	if r.Comparison, err = uncertainty.Compare(r.Budget, &r.Simulation.Outputs[0],
		digits); err != nil {
		return nil, err
	}
	if vary != "" {
		r.Vary, err = uncertainty.Vary(y, vary)
	}
	return r, err
}
