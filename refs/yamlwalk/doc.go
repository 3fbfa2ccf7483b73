// Package yamlwalk reads YAML written by people, and says of every fault where it
// is, what was found and what is allowed. It is the only package that knows the
// YAML library.
//
// Parse turns a text into a tree of nodes that keep their path, line, column and
// the text of each scalar exactly as written, so that "0450", "1_000" and "no" are
// judged by the reader, not by YAML's own idea of numbers. What YAML allows and
// nobody wants in a file edited in a hurry is a fault: a second document, aliases
// and anchors, tags, merge keys, a key given twice.
//
//	doc := yamlwalk.Parse("heater-break.yaml", data)
//	if doc.Root != nil {
//		sheet := doc.Root.Fields([]string{"title", "steps"}, []string{"note"})
//		title := sheet.Get("title").Text("a title")
//		for _, step := range sheet.Get("steps").Items("a list of steps") {
//			…
//		}
//	}
//	if err := doc.Faults().Err(); err != nil {
//		return err // every fault, sorted by line
//	}
//
// Reading goes on after a fault and collects all of them. Every reader may be
// called on a nil node: it then returns the zero value and adds no fault, since
// what is missing has been reported where it was required.
package yamlwalk
