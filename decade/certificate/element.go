// Copyright 2026 The Ohmwright Authors. All rights reserved.
// Use of this source code is governed by a BSD-3-Clause licence in the LICENSE file.

package certificate

// A certificate in XML is a tree of elements with a prefix each. Writing goes over the tree once,
// reading builds it from the tokens of encoding/xml, with any prefix that a file binds to a name
// space replaced by ours. Attributes other than refType and lang, comments and processing
// instructions are passed over: nothing that is read stands in them.
//
// Readers walk down by name (first, children) or by refType. What is not there is an empty
// element, whose text is empty too, so that a path needs no test at each step; whether something
// must be there is asked once, of the finished Certificate.

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.com/ohmwright/uncertainty/unit"
)

// The name spaces of the schema, and the prefixes that stand for them here.
const (
	dccSpace = "https://ptb.de/dcc"
	siSpace  = "https://ptb.de/si"
	dcc      = "dcc:"
	si       = "si:"
)

// An element is a part of a certificate. Package encoding/xml binds names to struct fields by
// name space or by prefix, and so not for both directions; a tree of elements serves both.
type element struct {
	name    string // with prefix, "dcc:content"; without one in a name space that is not ours
	refType string // attribute, what the value is by good practice; empty: none
	lang    string // attribute, ISO 639-1; empty: none
	text    string // words with one space between them; an element has a text or others in it
	in      []*element
}

// node is an element with others in it; those that are nil are left out.
func node(name string, in ...*element) *element {
	e := &element{name: name}
	for _, one := range in {
		if one != nil {
			e.in = append(e.in, one)
		}
	}
	return e
}

// listOf is a node of the schema's list types, which want one element or more; nil without any.
func listOf(name string, in ...*element) *element {
	if e := node(name, in...); len(e.in) > 0 {
		return e
	}
	return nil
}

// typed adds the refType, which says what a value is to programs that do not read its name.
func (e *element) typed(refType string) *element {
	e.refType = refType
	return e
}

// leaf is an element with a text; nil for an empty one.
func leaf(name, text string) *element {
	if text == "" {
		return nil
	}
	return &element{name: name, text: text}
}

// texts is an element with contents in the language of certificates, English; nil without any.
// Its type in the schema (textType) is a list of contents, one for each language.
func texts(name string, contents ...string) *element {
	var in []*element
	for _, text := range contents {
		if text != "" {
			in = append(in, &element{name: dcc + "content", lang: "en", text: text})
		}
	}
	return listOf(name, in...)
}

// write writes the element as a document: the declaration of XML 1.0 in UTF-8, the element with
// the name spaces and the version of the schema, and a line end.
func (e *element) write(w io.Writer) error {
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	out := xml.NewEncoder(w)
	out.Indent("", "  ")
	// Prefixes are bound once, at the root; names below carry them in their text.
	root := []xml.Attr{
		{Name: xml.Name{Local: "xmlns:dcc"}, Value: dccSpace},
		{Name: xml.Name{Local: "xmlns:si"}, Value: siSpace},
		{Name: xml.Name{Local: "schemaVersion"}, Value: schemaVersion},
	}
	if err := e.encode(out, root); err != nil {
		return err
	}
	if err := out.Close(); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// encode writes the element and what is in it, with more attributes, which come before its own.
// The names of tokens carry the prefix as part of the local name: given a name space, the encoder
// would declare it again in every element.
func (e *element) encode(out *xml.Encoder, attributes []xml.Attr) error {
	if e.refType != "" {
		attributes = append(attributes, xml.Attr{Name: xml.Name{Local: "refType"},
			Value: e.refType})
	}
	if e.lang != "" {
		attributes = append(attributes, xml.Attr{Name: xml.Name{Local: "lang"}, Value: e.lang})
	}
	start := xml.StartElement{Name: xml.Name{Local: e.name}, Attr: attributes}
	if err := out.EncodeToken(start); err != nil {
		return err
	}
	if e.text != "" {
		// The encoder escapes what XML reserves.
		if err := out.EncodeToken(xml.CharData(e.text)); err != nil {
			return err
		}
	}
	for _, in := range e.in {
		if err := in.encode(out, nil); err != nil {
			return err
		}
	}
	return out.EncodeToken(start.End())
}

// deepest is how far elements may lie within each other; those of a certificate are a dozen. The
// limit of 16 MiB alone would let two million in, each a call of parseElement on the stack.
const deepest = 100

// parseDocument reads a document up to the end of its root. A file of another version of the
// schema is refused here, before any of its elements is taken for what it was in 3.3.0.
func parseDocument(r io.Reader) (*element, error) {
	in := xml.NewDecoder(r)
	for {
		token, err := in.Token()
		if err != nil {
			return nil, syntaxError(in, err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue // what stands before the certificate
		}
		if version := attribute(start, "schemaVersion"); prefixed(start.Name) != rootName ||
			version != schemaVersion {
			return nil, unit.Errorf(ErrSyntax,
				"%s with schemaVersion %q; expected a digitalCalibrationCertificate of version %s",
				start.Name.Local, version, schemaVersion)
		}
		return parseElement(in, start, 0)
	}
}

// syntaxError is the error about a text that is no certificate, with the place in it that the
// decoder has come to.
func syntaxError(in *xml.Decoder, err error) error {
	if errors.Is(err, io.EOF) {
		err = errors.New("unexpected end")
	}
	line, column := in.InputPos()
	return unit.Errorf(ErrSyntax, "line %d, column %d: %v; expected the XML of a certificate", line,
		column, err)
}

// parseElement reads an element that has begun up to its end; depth is that of the element, 0 of
// the root. Texts before, between and after the elements in it are joined, which makes no sense
// of mixed content, and of which the schema has none.
func parseElement(in *xml.Decoder, start xml.StartElement, depth int) (*element, error) {
	// A hostile file could nest elements until the stack ends.
	if depth > deepest {
		return nil, syntaxError(in, fmt.Errorf("more than %d elements within each other", deepest))
	}
	e := &element{name: prefixed(start.Name), refType: attribute(start, "refType"),
		lang: attribute(start, "lang")}
	var text strings.Builder
	for {
		token, err := in.Token()
		if err != nil {
			return nil, syntaxError(in, err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			one, err := parseElement(in, token, depth+1)
			if err != nil {
				return nil, err
			}
			e.in = append(e.in, one)
		case xml.CharData:
			text.Write(token)
		case xml.EndElement:
			// Indentation is not part of a text.
			e.text = singleSpaced(text.String())
			return e, nil
		}
	}
}

// prefixed is a name with our prefix of its name space. The decoder has replaced the prefix of the
// file by the space that it is bound to: whether a file says dcc:, d: or binds the space as its
// default makes no difference. A name of another space, as of a signature, stays without a prefix,
// and no path leads to it.
func prefixed(name xml.Name) string {
	switch name.Space {
	case dccSpace:
		return dcc + name.Local
	case siSpace:
		return si + name.Local
	}
	return name.Local
}

// attribute is the value of an attribute; empty where there is none. Attributes of the schema have
// no name space: a prefix binds those that carry it alone.
func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// first is the first element down a path, an empty one where there is none. It takes the first of
// each name and does not look back: e.first(a, b) is empty if only the second a has a b.
func (e *element) first(path ...string) *element {
	for _, name := range path {
		found := &element{}
		for _, in := range e.in {
			if in.name == name {
				found = in
				break
			}
		}
		e = found
	}
	return e
}

// children are the elements of a name directly in e, in the order of the file; none is nil.
func (e *element) children(name string) (out []*element) {
	for _, in := range e.in {
		if in.name == name {
			out = append(out, in)
		}
	}
	return out
}

// byRefType is the first element directly in e with a refType, whatever its name: a statement, a
// condition or a quantity. It is an empty one where there is none.
// The good practice allows several words in the attribute; what is written here has one.
func (e *element) byRefType(refType string) *element {
	for _, in := range e.in {
		if in.refType == refType {
			return in
		}
	}
	return &element{}
}

// content is the text in a text element down a path: of its contents the first, since what is
// written here has one language. Texts (textType) and descriptions (richContentType) both have
// contents; words and numbers of the schema stand in their element directly, as first(…).text.
func (e *element) content(path ...string) string {
	return e.first(append(path, dcc+"content")...).text
}
