// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

// Pictures draws what the library computes: the deviations of a box against its class, the
// distribution of a Monte Carlo run, the shares of a budget, alloys against temperature,
// impedance against frequency, and drift with its prediction.
//
//	go run .
//	go run . -out pictures -format png -only deviations,drift
//	go run . -box mybox/box.json -meter mybox/meter.json -readings mybox/readings.csv \
//		-out mybox/report
//	go run . -box mybox/box.json -earlier mybox/record-2025.json \
//		-earlier mybox/record-2026.json -out mybox/report
//	go run . -model mybox/model.json -out mybox/report
//
// With files of your own it draws your box or your model and writes report.html, one page
// that needs nothing else: verdict first, pictures inside, tables, budget, cautions. Paths
// are as seen from this directory. Without them the data are invented. The program is a
// module of its own, so that who imports the library does not inherit a plotting package.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"example.com/ohmwright/examples/internal/files"
	"example.com/ohmwright/examples/pictures/internal/chart"
	"example.com/ohmwright/uncertainty/unit"
)

// A picture is one drawing: its name is that of its files.
type picture struct {
	name  string
	build func() (*chart.Figure, error)
}

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "pictures:", unit.WithoutOp(err))
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	p := files.New("pictures", demo,
		"go run . -out pictures -format png -only deviations,drift",
		"go run . -box mybox/box.json -meter mybox/meter.json -readings mybox/readings.csv -out "+
			"mybox/report")
	var own ownFiles
	own.box, own.meter, own.readings = p.File("box"), p.File("meter"), p.File("readings")
	own.record, own.model, own.earlier = p.File("record"), p.File("model"), p.Files("earlier")
	own.setting = p.Flags.String("setting", "",
		"`setting` for budget, distribution and drift, such as 1-2-3 (none: one that matters)")
	directory := p.Flags.String("out", "",
		"`folder` to write to, made if it does not exist (none: a new temporary one)")
	format := p.Flags.String("format", "both", "`form` of the pictures: svg, png or both")
	only := p.Flags.String("only", "", "`names` of the pictures of the demonstration that are "+
		"wanted, separated by commas (none: all)")
	if run, err := p.Parse(args, out); !run {
		return err
	}
	formats, err := chosenFormats(*format)
	if err != nil {
		return err
	}
	wanted, err := chosen(*only)
	if err != nil {
		return err
	}
	to, err := target(*directory)
	if err != nil {
		return err
	}
	if own.given() {
		return own.write(context.Background(), p, out, to, formats)
	}
	for _, x := range wanted {
		f, err := x.build()
		if err == nil {
			err = write(out, to, x.name, f, formats)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", x.name, err)
		}
	}
	return nil
}

func chosenFormats(format string) ([]string, error) {
	switch format {
	case "svg", "png":
		return []string{format}, nil
	case "both":
		return []string{"svg", "png"}, nil
	}
	return nil, fmt.Errorf("format %q; expected svg, png or both", format)
}

func chosen(names string) ([]picture, error) {
	if names == "" {
		return pictures, nil
	}
	var wanted []picture
	for name := range strings.SplitSeq(names, ",") {
		i := slices.IndexFunc(pictures,
			func(p picture) bool { return p.name == strings.TrimSpace(name) })
		if i < 0 {
			return nil, fmt.Errorf("picture %q; expected some of deviations, montecarlo, trials, "+
				"budget, alloys, impedance, drift", name)
		}
		wanted = append(wanted, pictures[i])
	}
	return wanted, nil
}

func target(directory string) (string, error) {
	if directory == "" {
		return os.MkdirTemp("", "pictures-")
	}
	if info, err := os.Stat(directory); err == nil && !info.IsDir() {
		return "", fmt.Errorf("-out %s: a file; expected a folder to write to", directory)
	}
	return directory, os.MkdirAll(directory, 0o777)
}

// write draws a figure and says where it is.
func write(out io.Writer, directory, name string, f *chart.Figure, formats []string) error {
	for _, format := range formats {
		data, err := f.Encode(format)
		if err != nil {
			return err
		}
		file := filepath.Join(directory, name+"."+format)
		if err := os.WriteFile(file, data, 0o666); err != nil {
			return err
		}
		fmt.Fprintln(out, file)
	}
	return nil
}
