package reader

import (
	"fmt"
	"strings"

	"shaftbook/web/app/ownpage"
)

// beyondWords says of what a page has too much, and how much it may have.
func beyondWords(e *ownpage.BeyondError) string {
	var has []string
	if e.Bytes > ownpage.PageLimit {
		has = append(has, fmt.Sprintf("%d kB of text; up to %d kB can be kept", (e.Bytes+1023)>>10, ownpage.PageLimit>>10))
	}
	if e.Cells > ownpage.MostCells {
		has = append(has, fmt.Sprintf("%d calculations, shafts, derivations, guesses and exercises; up to %d can be kept", e.Cells, ownpage.MostCells))
	}
	if e.Blocks > ownpage.MostBlocks {
		has = append(has, fmt.Sprintf("%d pieces of text and cells; up to %d can be kept", e.Blocks, ownpage.MostBlocks))
	}
	return "It has " + strings.Join(has, ", and ") + ". Nothing was changed or cut; split it into two pages."
}
