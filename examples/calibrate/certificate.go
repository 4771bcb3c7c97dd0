// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package main

import (
	"fmt"
	"io"

	"example.com/ohmwright/decade/certificate"
	"example.com/ohmwright/decade/verify"
	"example.com/ohmwright/examples/internal/files"
)

// writeCertificate writes the certificate of a report, of the demonstration if it is nil.
func writeCertificate(p *files.Program, out io.Writer, o options, report *verify.Report) error {
	parties, err := files.Open(p, o.parties, "parties.json", certificate.ReadParties)
	if err != nil {
		return err
	}
	if report == nil {
		if report, err = evaluate(p, options{}); err != nil {
			return err
		}
	}
	c, err := certificate.New(report, parties)
	if err != nil {
		return err
	}
	if err := files.Save(o.certificate, c.WriteXML); err != nil {
		return err
	}
	_, err = fmt.Fprintf(out, "written: %s (not signed: sign it with another tool, and change "+
		"nothing in it)\n", o.certificate)
	return err
}

// evaluate judges the readings.
func evaluate(p *files.Program, o options) (*verify.Report, error) {
	return files.OpenReport(p, o.box, o.meter, o.readings, "readings-2027.csv")
}

// readable reports what is wrong with the file of the parties, if anything: before the first
// result is written, since the certificate comes last.
func readable(p *files.Program, o options) error {
	if o.parties == "" {
		return nil
	}
	_, err := files.Open(p, o.parties, "", certificate.ReadParties)
	return err
}
