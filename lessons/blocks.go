package lessons

import (
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/text"

	"shaftbook/kernel/source"
	"shaftbook/lessons/markdown"
)

// A BlockKind is what a piece of a lesson's text is. That of a cell is the word after
// its fence.
type BlockKind string

// The kinds that are not cells.
const (
	Head  BlockKind = "head" // the front matter
	Prose BlockKind = "text" // what stands between cells, cut before each heading
)

// A Block is a piece of the text of a lesson that is written, moved and removed as one.
type Block struct {
	Kind BlockKind
	Cell string // ID of the cell; "" for what is not a cell
	Raw  string // as it is in the text, with the empty lines below it
}

// Blocks cuts the text of a lesson into its blocks. Put together again, the blocks are
// the text, letter by letter; an empty text has none. Line ends must be \n, as
// [CleanText] makes them.
func Blocks(content string) []Block {
	t := source.NewText("page.md", content)
	context := &markdown.Context{Text: t}
	doc := reader.Parse(text.NewReader([]byte(content)), context.Options())
	cells := map[int]*markdown.Cell{}
	starts := []int{0}
	head := 0
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *markdown.FrontMatter:
			head = frontMatterEnd(content)
			starts = append(starts, head)
		case *markdown.Cell:
			cells[n.Pos()] = n
			starts = append(starts, n.Pos(), cellEnd(content, n))
		case *ast.Heading:
			if n.Level <= 2 && n.Lines().Len() > 0 {
				starts = append(starts, lineStart(content, n.Lines().At(0).Start))
			}
		}
	}
	slices.Sort(starts)
	starts = append(slices.Compact(starts), len(content))
	var blocks []Block
	before := "" // empty lines above the first block
	for i, from := range starts[:len(starts)-1] {
		raw := content[from:starts[i+1]]
		empty := emptyLines(raw)
		if len(blocks) > 0 {
			blocks[len(blocks)-1].Raw += raw[:empty]
		} else {
			before += raw[:empty]
		}
		if empty == len(raw) {
			continue
		}
		block := Block{Prose, "", before + raw[empty:]}
		switch cell := cells[from]; {
		case cell != nil:
			block.Kind, block.Cell = BlockKind(cell.Sort.String()), cell.ID
		case from < head:
			block.Kind = Head
		}
		blocks, before = append(blocks, block), ""
	}
	if before != "" {
		blocks = append(blocks, Block{Prose, "", before})
	}
	return blocks
}

// Join puts blocks together.
func Join(blocks []Block) string {
	var b strings.Builder
	for _, block := range blocks {
		b.WriteString(block.Raw)
	}
	return b.String()
}

// CleanText makes line ends \n, drops the mark that some editors put at the start of a
// file, and replaces what is not UTF-8; [Parse] reads a file so.
func CleanText(s string) string { return clean(s) }

func lineStart(content string, at int) int { return strings.LastIndexByte(content[:at], '\n') + 1 }

// emptyLines returns how many bytes of a text are whole lines of white space at its top.
func emptyLines(s string) int {
	at := 0
	for at < len(s) {
		next := lineAfter(s, at)
		if strings.TrimSpace(s[at:next]) != "" {
			return at
		}
		at = next
	}
	return at
}

// lineAfter returns where the line after the one of an offset begins.
func lineAfter(content string, at int) int {
	if end := strings.IndexByte(content[at:], '\n'); end >= 0 {
		return at + end + 1
	}
	return len(content)
}

// frontMatterEnd returns where the line after the closing --- begins.
func frontMatterEnd(content string) int {
	at := lineAfter(content, 0)
	for at < len(content) {
		next := lineAfter(content, at)
		if strings.TrimRight(content[at:next], " \t\r\n") == "---" {
			return next
		}
		at = next
	}
	return at
}

// cellEnd returns where the line after the closing fence of a cell begins.
func cellEnd(content string, n *markdown.Cell) int {
	at := lineAfter(content, n.Pos())
	if lines := n.Lines(); lines.Len() > 0 {
		at = lines.At(lines.Len() - 1).Stop
		if at > 0 && content[at-1] != '\n' {
			at = lineAfter(content, at)
		}
	}
	return lineAfter(content, at)
}

// ClosedBlock returns what is written as one block so that it cannot take in what
// follows: it ends with an empty line, and code, a comment or front matter that was
// left open is closed. first says that nothing stands above it.
func ClosedBlock(raw string, first bool) string {
	if raw != "" && !strings.HasSuffix(raw, "\n") {
		raw += "\n"
	}
	if raw != "" && !strings.HasSuffix(raw, "\n\n") && raw != "\n" {
		raw += "\n"
	}
	if isClosed(raw, first) {
		return raw
	}
	body := strings.TrimRight(raw, "\n") + "\n"
	for _, end := range endings(raw) {
		if closed := body + end + "\n\n"; isClosed(closed, first) {
			return closed
		}
	}
	return raw
}

// isClosed reports whether a cell that follows a block is a cell.
func isClosed(raw string, first bool) bool {
	const above, probe = "A.\n\n", "```calc\n```\n"
	if !first {
		raw = above + raw
	}
	blocks := Blocks(raw + probe)
	last := blocks[len(blocks)-1]
	return last.Kind == BlockKind(Calc.String()) && last.Raw == probe
}

// endings returns what could close whatever is open at the end of a text.
func endings(raw string) []string {
	ends := []string{"---", "-->", "?>", "]]>", ">", "</script>", "</pre>", "</style>", "</textarea>"}
	longest := map[rune]int{}
	run, of := 0, rune(0)
	for _, r := range raw {
		if r != of {
			run, of = 0, r
		}
		run++
		if r == '`' || r == '~' {
			longest[r] = max(longest[r], run)
		}
	}
	for _, r := range "`~" {
		if longest[r] >= 3 {
			ends = append(ends, strings.Repeat(string(r), longest[r]))
		}
	}
	return ends
}
