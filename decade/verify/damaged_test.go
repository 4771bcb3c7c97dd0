// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package verify

import (
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf16"

	"example.com/ohmwright/decade"
)

// utf16Text encodes a text as spreadsheets and shells do, least significant byte first.
func utf16Text(text string) string {
	var out []byte
	for _, u := range utf16.Encode([]rune(text)) {
		out = append(out, byte(u), byte(u>>8))
	}
	return string(out)
}

// swapped has the other order of bytes.
func swapped(text string) string {
	out := []byte(text)
	for i := 0; i+1 < len(out); i += 2 {
		out[i], out[i+1] = out[i+1], out[i]
	}
	return string(out)
}

// Files as they come from spreadsheets, meters, word processors and mail, and what their
// owner is told: the readings, or a message with what helps. All are invented.
func TestOddAndDamagedFiles(t *testing.T) {
	box := threeDials(t)
	two, err := decade.New(decade.Spec{Decades: []decade.Decade{{Step: 1000, Tolerance: 0.001}, {Step: 1, Tolerance: 0.01}}})
	if err != nil {
		t.Fatal(err)
	}
	readings := func(b *decade.Box) func(io.Reader) (string, error) {
		return func(r io.Reader) (string, error) {
			list, err := ReadReadings(r, b)
			var out []string
			for _, r := range list {
				s := fmt.Sprintf("%v %v", r.Setting, r.Values)
				if r.Overload {
					s = fmt.Sprintf("%v above range", r.Setting)
				}
				if r.Dialling > 1 {
					s += fmt.Sprintf(" #%d", r.Dialling)
				}
				if r.Temperature != nil {
					s += fmt.Sprintf(" %v °C", *r.Temperature)
				}
				if r.Remarks != "" {
					s += " " + r.Remarks
				}
				out = append(out, s)
			}
			return strings.Join(out, "; "), err
		}
	}
	three := readings(box)
	boxFile := func(r io.Reader) (string, error) {
		b, err := decade.ReadBox(r)
		return b.Name(), err
	}
	meterFile := func(r io.Reader) (string, error) {
		_, err := ReadMeter(r)
		return "", err
	}
	for _, test := range []struct {
		name string
		read func(io.Reader) (string, error)
		text string
		want string // the readings, or the message behind the name of the function
	}{
		// What is read.
		{"blank rows", three, "setting;value\r\n;\r\n1-0-0;100,02\r\n;;;\r\n\r\n2-0-0;200,04\r\n",
			`1-0-0 [100.02]; 2-0-0 [200.04]`},
		{"a plan half filled in", three, "setting,dialling,range,temperature (°C),value 1 (Ω),value 2 (Ω)\n0-0-0,1,,23.1,0.012,\n1-0-0,1,,,,\n",
			`0-0-0 [0.012] 23.1 °C`},
		{"a column of remarks", three, "setting,value,Remarks\n1-0-0,100.02,\"turned twice, then steady\"\n,,lunch\n2-0-0,200.04,\n",
			`1-0-0 [100.02] turned twice, then steady; 2-0-0 [200.04]`},
		{"columns without head or cells, as a wide sheet exports", three, "setting;;value;;\n1-0-0;;100,02;;\n",
			`1-0-0 [100.02]`},
		{"byte-order mark, semicolons, decimal comma", three, "\ufeffsetting;value\r\n1-0-0;100,02\r\n",
			`1-0-0 [100.02]`},
		{"tabs and quotes", three, "\"setting\"\t\"value\"\n\"1-0-0\"\t\"100,02\"\n",
			`1-0-0 [100.02]`},
		{"UTF-16 with tabs, as spreadsheets export Unicode text", three, "\xff\xfe" + utf16Text("setting\tvalue (kΩ)\r\n1-0-0\t0,10002\r\n"),
			`1-0-0 [100.02]`},
		{"UTF-16, the other order of bytes", three, "\xfe\xff" + swapped(utf16Text("setting,value\n1-0-0,100.02\n")),
			`1-0-0 [100.02]`},
		{"UTF-16 without a byte-order mark", three, utf16Text("setting,value (kΩ),remarks\n1-0-0,0.10002,𝛺\n"),
			`1-0-0 [100.02] 𝛺`},
		{"carriage returns alone", three, "setting,value\r1-0-0,100.02\r\r2-0-0,200.04\r",
			`1-0-0 [100.02]; 2-0-0 [200.04]`},
		{"en dashes and blanks in settings", three, "setting;value\n1 – 0 – 0;100,02\n1–1–0;110,02\n2 0 0;200,04\n",
			`1-0-0 [100.02]; 1-1-0 [110.02]; 2-0-0 [200.04]`},
		{"thousands that the number shows", readings(two), "setting;value\n1-0;1.000,02\n2-0;2 000,04\n3-0;3'000,06\n4-0;4\u202f000\n",
			`1-0 [1000.02]; 2-0 [2000.04]; 3-0 [3000.06]; 4-0 [4000]`},
		{"thousands in a file with decimal points", readings(two), "setting,value\n1-0,\"1,000.02\"\n0-1,1.002\n",
			`1-0 [1000.02]; 0-1 [1.002]`},
		{"millions", three, "setting;value\n1-0-0;1.000.000\n2-0-0;200,1\n",
			`1-0-0 [1e+06]; 2-0-0 [200.1]`},
		{"three decimals that are near the setting", three, "setting;value\n1-0-0;100.017\n",
			`1-0-0 [100.017]`},
		{"three decimals beside a number that shows its mark", readings(two), "setting;value\n1-0;1.000\n0-0;0.012\n",
			`1-0 [1]; 0-0 [0.012]`},
		{"minus signs of word processors", three, "setting;value\n0-0-0;–0,001\n0-0-0;\u22120,002\n",
			`0-0-0 [-0.001 -0.002]`},
		{"day, month and year with points", three, "setting;value;time\n1-0-0;100,02;2.3.2026 09:00\n",
			`1-0-0 [100.02]`},
		{"above range, as displays show it", three, "setting,value\n1-0-0,OL\n1-0-1,+OL\n1-0-2,O.L\n1-0-3,0.L MΩ\n1-0-4,OVLD\n1-0-5,OFL\n1-0-6,OVER\n1-0-7,OPEN\n1-0-8,----\n1-0-9,1---\n2-0-0,9.9E37\n",
			`1-0-0 above range; 1-0-1 above range; 1-0-2 above range; 1-0-3 above range; 1-0-4 above range; 1-0-5 above range; 1-0-6 above range; 1-0-7 above range; 1-0-8 above range; 1-0-9 above range; 2-0-0 above range`},
		{"above range, as instruments send it, in kΩ and with a comma", three, "setting;value (kΩ)\n1-0-0;+9,90000000E+37\n2-0-0;0,20004\n",
			`1-0-0 above range; 2-0-0 [200.04]`},
		// What is refused, with what helps.
		{"is it a thousand?", readings(two), "setting;value\n1-0;1.000\n2-0;2.000\n",
			`verify.ReadReadings: line 2: column "value": number "1.000" may be 1.000 or 1000, and no other number of the file decides; expected one of the two without a separator of thousands: 1.0000 or 1000`},
		{"a thousand or a decimal point in a file with decimal commas", readings(two), "setting;value\n0-1;1,0021\n1-0;1.000\n",
			`verify.ReadReadings: line 3: column "value": number "1.000" in a file with a decimal ',' (line 2): 1.000 or 1000?; expected one without thousands separators`},
		{"a setting that became a date", three, "setting;value\n2003-06-04;463\n",
			`verify.ReadReadings: line 2: column "setting": setting "2003-06-04" is a date, which spreadsheets make of some settings; expected positions such as 0 0 0: make the column text before typing, or write blanks between the positions`},
		{"a setting that became a date of its country", three, "setting;value\n04.06.2003;463\n",
			`verify.ReadReadings: line 2: column "setting": setting "04.06.2003" is a date, which spreadsheets make of some settings; expected positions such as 0 0 0: make the column text before typing, or write blanks between the positions`},
		{"a setting that became a day", readings(two), "setting;value\n02. Jan;1002\n",
			`verify.ReadReadings: line 2: column "setting": setting "02. Jan" is a date, which spreadsheets make of some settings; expected positions such as 0 0: make the column text before typing, or write blanks between the positions`},
		{"a setting that became the number of a day", three, "setting;value\n37776;463\n",
			`verify.ReadReadings: line 2: column "setting": setting "37776" is one number, which is also how a spreadsheet stores a date; expected the positions of 3 dials, such as 0-0-0, or the column name nominal for values in Ω`},
		{"a nominal value under setting", three, "setting;value\n463;463\n",
			`verify.ReadReadings: line 2: column "setting": setting "463" is one number, which is also how a spreadsheet stores a date; expected the positions of 3 dials, such as 0-0-0, or the column name nominal for values in Ω`},
		{"merged cells", three, "setting;value\n1-0-0;100,02\n;100,03\n",
			`verify.ReadReadings: line 3: column "setting": no setting beside a value; expected one in every line, such as 0-0-0 (merged cells keep it only in the first)`},
		{"a number split at its decimal comma", three, "setting,value\n1-0-0,100,02\n",
			`verify.ReadReadings: line 2: 3 cells; expected 2, as the first line has (a decimal comma needs semicolons between the cells)`},
		{"a number split at its decimal comma, into the next value", three, "setting,value 1,value 2\n1-0-0,100,02\n",
			`verify.ReadReadings: line 2: column "value 2": "02", as after a decimal comma that was taken for the end of a cell; expected a decimal point, or semicolons between the cells`},
		{"two cells joined", three, "setting,range,value\n1-0-0,100.02\n",
			`verify.ReadReadings: line 2: 2 cells; expected 3, as the first line has: is one missing, or are two joined?`},
		{"each line one cell", three, "\"setting;value\"\n\"1-0-0;100,02\"\n",
			`verify.ReadReadings: line 1: the first line is one cell, "setting;value"; expected each column in a cell of its own, without quotes around the line`},
		{"a line that is one cell", three, "setting;value\n\"1-0-0;100,02\"\n",
			`verify.ReadReadings: line 2: all cells in one, "1-0-0;100,02"; expected 2 cells separated by ';', without quotes around the line`},
		{"a cell with two lines", three, "setting,value,remarks\n1-0-0,100.02,\"first\nsecond\"\n",
			`verify.ReadReadings: line 2: extraneous or missing " in quoted-field; expected cells separated by ',', each within one line`},
		{"blanks between the columns", three, "setting value\n1-0-0 100.02\n",
			`verify.ReadReadings: line 1: the first line, "setting value", has blanks between the columns; expected commas, semicolons or tabs`},
		{"a title above the table", three, "Readings of the grey box;;\nsetting;value;\n1-0-0;100,02;\n",
			`verify.ReadReadings: line 1: "Readings of the grey box" in the first line, which names no column; expected one of setting, nominal, value, unit, range, temperature, meter temperature, time, dialling, session, stage, polarity, approach, turned, standard, standard value, standard u, standard k, remarks (value may be numbered and carry a unit: value 2 (kΩ)): put # before titles above the table`},
		{"a remark without a column", three, "setting,value\n1-0-0,100.02,turned twice\n",
			`verify.ReadReadings: line 2: 3 cells, the last of them "turned twice"; expected 2, as the first line has: give the column a name, such as remarks`},
		{"a remark under no head", three, "setting,,value\n1-0-0,turned twice,100.02\n",
			`verify.ReadReadings: line 2: "turned twice" in a column without a name; expected a column name, such as remarks`},
		{"a misspelled column", three, "seting,value\n1-0-0,100.02\n",
			`verify.ReadReadings: line 1: column "seting"; did you mean "setting"?`},
		{"a unit read in another encoding", three, "setting,value (kÎ©)\n1-0-0,0.1\n",
			`verify.ReadReadings: line 1: column "value (kÎ©)": unit "kÎ©" is kΩ read in another encoding; expected kΩ: save the file as CSV UTF-8, or write ohm`},
		{"a unit that lost its letter", three, "setting,value\n1-0-0,0.1 k?\n",
			`verify.ReadReadings: line 2: column "value": unit "k?" has lost a letter on its way; expected Ω, kΩ, MΩ or °C: save the file as CSV UTF-8, or write ohm`},
		{"an Ω without its font", three, "setting,value (kW)\n1-0-0,0.1\n",
			`verify.ReadReadings: line 1: column "value (kW)": unit "kW", which may be an Ω without its font; expected kΩ or kohm`},
		{"degrees read in another encoding", three, "setting,value,temperature (Â°C)\n1-0-0,100,23\n",
			`verify.ReadReadings: line 1: column "temperature (Â°C)": unit "Â°C" is °C read in another encoding; expected °C: save the file as CSV UTF-8, or write ohm`},
		{"bytes of Windows-1252", three, "setting,value,temperature (\xb0C)\n1-0-0,100,23\n",
			`verify.ReadReadings: line 1: bytes that are not UTF-8; expected UTF-8 text: save the file as CSV UTF-8`},
		{"letters that were replaced", three, "setting,value (k\ufffd)\n1-0-0,0.1\n",
			`verify.ReadReadings: line 1: a letter that was lost on its way (�); expected UTF-8 text: save the file as CSV UTF-8`},
		{"an error of the spreadsheet", three, "setting,value\n1-0-0,#DIV/0!\n",
			`verify.ReadReadings: line 2: column "value": "#DIV/0!", which a spreadsheet shows for an error or a column too narrow; expected the value`},
		{"an error where a comment could begin", three, "setting,value\n#N/A,100.02\n",
			`verify.ReadReadings: line 2: column "setting": "#N/A", which a spreadsheet shows for an error or a column too narrow; expected the value`},
		{"a column too narrow", three, "setting,value\n########,100.02\n",
			`verify.ReadReadings: line 2: column "setting": "########", which a spreadsheet shows for an error or a column too narrow; expected the value`},
		{"no number, as instruments send it", three, "setting,value\n1-0-0,9.91E37\n",
			`verify.ReadReadings: line 2: column "value": "9.91E37", which instruments send where there is no result; expected a value, OL or nothing`},
		{"typographic quotes in a table", three, "setting,value\n1-0-0,“100.02”\n",
			`verify.ReadReadings: line 2: column "value": typographic quotes around "“100.02”"; expected straight ones (") or none`},
		{"day and month either way", three, "setting,value,time\n1-0-0,100,3/2/2026\n",
			`verify.ReadReadings: line 2: column "time": time "3/2/2026", in which day and month may stand either way; expected a form such as 2026-03-17 or 17.3.2026`},
		{"a plan not filled in", three, "setting,dialling,value 1 (Ω)\n0-0-0,1,\n1-0-0,1,\n",
			`verify.ReadReadings: no value in any of 2 lines, as in a sheet that is not filled in; expected what the meter showed, or OL`},
		{"a sheet below that of last year", three,
			"setting,dialling,time,value\n1-0-0,1,2026-03-02,100.01\n0-1-0,1,2026-03-02,10.01\n" +
				"1-0-0,1,2027-03-02,100.02\n",
			`verify.ReadReadings: line 4: dialling 1 of line 2 again, at another time and after other settings; expected the number of a dialling of its own, or another stage or session`},
		{"repeats in lines of their own, with the day alone", three,
			"setting,dialling,time,value\n1-0-0,1,2026-03-02,100.01\n0-1-0,1,2026-03-02,10.01\n" +
				"1-0-0,1,2026-03-02,100.01\n",
			`1-0-0 [100.01 100.01]; 0-1-0 [10.01]`},
		{"a dash for nothing", three, "setting,value\n1-0-0,-\n",
			`verify.ReadReadings: line 2: column "value": "-"; expected a number, or an empty cell where there is none`},
		{"a workbook", three, "PK\x03\x04\x14\x00\x06\x00",
			`verify.ReadReadings: a workbook or another packed file; expected plain text: export it as CSV UTF-8`},
		{"UTF-16 JSON", boxFile, "\xff\xfe" + utf16Text(`{"name":"a","decades":[{"step":1}]}`),
			`decade.ReadBox: UTF-16 text; expected UTF-8: save the file as UTF-8`},
		{"UTF-16 JSON without a byte-order mark", meterFile, utf16Text(`{"name":"a"}`),
			`verify.ReadMeter: UTF-16 text; expected UTF-8: save the file as UTF-8`},
		{"typographic quotes in JSON", boxFile, "{\n  “name”: “a”\n}",
			`decade.ReadBox: line 2, column 3: typographic quotes (“); expected straight ones: "`},
		{"one typographic quote in JSON", boxFile, "{\n  \"name”: \"a\",\n  \"serial\": \"1\"\n}",
			`decade.ReadBox: line 2, column 8: typographic quotes (”); expected straight ones: "`},
		{"a decimal comma in JSON", boxFile, `{"residual": 0,012, "decades": []}`,
			`decade.ReadBox: line 1, column 15: a comma within a number; expected a decimal point`},
		{"a comma behind the last entry of JSON", boxFile, "{\"name\": \"a\",\n}",
			`decade.ReadBox: line 1, column 13: a comma before '}'; expected none after the last entry`},
		{"no comma between entries of JSON", boxFile, "{\"name\": \"a\"\n\"serial\": \"1\"}",
			`decade.ReadBox: line 2, column 1: '"' after another entry; expected a comma between the two`},
		{"a blank that is none in JSON", boxFile, "{\u00a0\"name\": \"a\"}",
			`decade.ReadBox: line 1, column 2: an invisible character (U+00A0, not a plain blank); expected a blank`},
		{"comments in JSON", boxFile, "{\n// the grey box\n\"name\": \"a\"}",
			`decade.ReadBox: line 2, column 1: '/' begins no value; expected JSON, which has no comments`},
		{"single quotes in JSON", boxFile, "{'name': 'a'}",
			`decade.ReadBox: line 1, column 2: single quotes ('); expected double ones: "`},
		{"rich text", boxFile, "{\\rtf1\\ansi {\"name\": \"a\"}}",
			`decade.ReadBox: rich text; expected plain text: save it as plain text, UTF-8`},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, err := test.read(strings.NewReader(test.text))
			if err != nil {
				got = err.Error()
			}
			if got != test.want {
				t.Errorf("%s\nwant %s", got, test.want)
			}
		})
	}
}

// Lines of one dialling of which some have a remark give it once.
func TestRemarksOfOneDialling(t *testing.T) {
	b := threeDials(t)
	for _, test := range []struct{ lines, want string }{
		{"a||", "a"}, {"|a|", "a"}, {"a|a|b", "a; b"}, {"off by one|off|off", "off by one; off"}, {"||", ""},
	} {
		var text strings.Builder
		text.WriteString("setting,value,remarks\n")
		for remark := range strings.SplitSeq(test.lines, "|") {
			text.WriteString("1-0-0,100.02," + remark + "\n")
		}
		got, err := ReadReadings(strings.NewReader(text.String()), b)
		if err != nil || len(got) != 1 || got[0].Remarks != test.want {
			t.Errorf("%q: %v, %v; expected one reading with %q", test.lines, got, err, test.want)
		}
	}
}
