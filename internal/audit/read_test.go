package audit

import (
	"strings"
	"testing"

	"quiltwright/internal/diag"
	"quiltwright/internal/measure"
)

// Lists that cannot be read say where, what is wrong and what would be right.
func TestBadLists(t *testing.T) {
	const head = "fabric,width,height,count\n"
	for name, c := range map[string]struct {
		list   string
		at     diag.Pos
		says   string
		remedy string
	}{
		"nothing":              {"", diag.Pos{Line: 1, Column: 1}, "the list is empty", "write a first line"},
		"only a head":          {head, diag.Pos{Line: 1, Column: 1}, "the list is empty", "write a first line"},
		"no head":              {"A,3,3,4\n", diag.Pos{Line: 1, Column: 1}, "names no column “fabric”", "write a first line"},
		"prose":                {"Dear all,\nplease cut twelve squares", diag.Pos{Line: 1, Column: 1}, "names no column", "write a first line"},
		"a picture":            {"\x89PNG\r\n\x1a\n\x00\xff\xfe", diag.Pos{Line: 1, Column: 1}, "not a text", "save the list as CSV"},
		"no such column":       {"fabric,widht,height,count\nA,3,3,4\n", diag.Pos{Line: 1, Column: 1}, "names no column “width”", "is “widht” meant to be “width”?"},
		"a column twice":       {"fabric,width,width,height,count\n", diag.Pos{Line: 1, Column: 14}, "two columns for the width", "leave one of them out"},
		"counts twice":         {"fabric,cut,width,height,count\n", diag.Pos{Line: 1, Column: 25}, "two columns for the count, “cut” and “count”", "leave one of them out"},
		"an open quote":        {head + "\"A,3,3,4\n", diag.Pos{Line: 2, Column: 9}, "cannot be read", "double quotes"},
		"negative":             {head + "A,3,-3,4\n", diag.Pos{Line: 2, Column: 5}, "height", ""},
		"nothing wide":         {head + "A,0,3,4\n", diag.Pos{Line: 2, Column: 3}, "a width of 0 cannot be cut", "more than 0"},
		"huge":                 {head + "A,3,100000,4\n", diag.Pos{Line: 2, Column: 5}, "a height of 100000 cannot be cut", "at most 10000"},
		"no number":            {head + "A,wide,3,4\n", diag.Pos{Line: 2, Column: 3}, "wide", ""},
		"no end of digits":     {head + "A," + strings.Repeat("9", 400) + ",3,4\n", diag.Pos{Line: 2, Column: 3}, "", ""},
		"minus two":            {head + "A,3,3,-2\n", diag.Pos{Line: 2, Column: 7}, "“-2” is not a count", "write how many"},
		"too many to be meant": {head + "A,3,3,99999999\n", diag.Pos{Line: 2, Column: 7}, "is not a count", "write how many"},
		"half a blank":         {head + "A,3,3,1.5\n", diag.Pos{Line: 2, Column: 7}, "“1.5” is not a count", "write how many"},
		"no fabric":            {head + ",3,3,1\n", diag.Pos{Line: 2, Column: 1}, "names no fabric", "letter or the name"},
		"too short":            {head + "A,3\n", diag.Pos{Line: 2, Column: 1}, "too few for the columns", "leave no value out"},
		"after letters":        {head + "Ärmel,3,x,1\n", diag.Pos{Line: 2, Column: 9}, "height", ""},
		"no measure":           {"fabric,width,height,count,measure\nA,3,3,1,ell\n", diag.Pos{Line: 2, Column: 9}, "“ell” is not a measure", "inch or cm"},
	} {
		lines, found := Read([]byte(c.list), measure.Inch)
		if len(found) != 1 || !found.HasErrors() || len(lines) > 0 {
			t.Errorf("%s: %d lines, %v", name, len(lines), found)
			continue
		}
		if f := found[0]; f.At != c.at || !strings.Contains(f.Says, c.says) || !strings.Contains(f.Remedy, c.remedy) {
			t.Errorf("%s: %+v", name, f)
		}
	}
	long := head + strings.Repeat("A,3,3,1\n", MostLines+5)
	if lines, found := Read([]byte(long), measure.Inch); len(lines) != MostLines || !strings.Contains(found.String(), "more than 2000 lines") {
		t.Errorf("%d lines, %v", len(lines), found)
	}
}

// Lists as people and programs write them.
func TestReads(t *testing.T) {
	for name, list := range map[string]string{
		"plain":       "fabric,width,height,count\nA,3 1/2,2.5,4\n",
		"other order": "Count , HEIGHT,note,Width,Fabric\n4,2.5,\"for rows, later\",3 1/2,A\n",
		"semicolons":  "fabric;width;height;count\nA;3.5;2 1/2;4\n",
		"a mark":      "\ufefffabric,width,height,count\r\nA,3.5,2.5,4\r\n\r\n",
		"remarks":     "# cut on Monday\nfabric,width,height,count\n# first\n\nA,3.5,2.5,4",
		"inch marks":  "fabric,width,height,count\nA,\"3 1/2\"\"\",2.5,4\n",
		"ours":        "label,fabric,name,shape,hand,width,height,measure,cut,each,pieces,spare,samples,surplus,months\nA1,A,Fog,rectangle,,3.5,2.5,inch,4,1,4,0,0,0,1:4\n",
	} {
		lines, found := Read([]byte(list), measure.Inch)
		if len(found) > 0 || len(lines) != 1 {
			t.Errorf("%s: %v", name, found)
			continue
		}
		if l := lines[0]; l.Fabric != "A" || l.Width != 3.5 || l.Height != 2.5 || l.Count != 4 {
			t.Errorf("%s: %+v", name, l)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("fabric,width,height,count\nA,3 1/2,2.5,4\n"), false)
	f.Add([]byte("label;fabric;shape;width;height;measure;cut\nA1;A;half square;3,5;\"3\";cm;4\n"), true)
	f.Add([]byte("\ufeff\"fabric\",count,height,width\n\"\n\",1,1/0,1e9\n"), false)
	p := inches().rectangle("A1", "A", 3, 2, 4).halfSquare("A2", "A", 3.875, 3, 4).strip("B1", "B", 2, 3).p
	f.Fuzz(func(t *testing.T, src []byte, cm bool) {
		unit := measure.Inch
		if cm {
			unit = measure.Centimetre
		}
		lines, found := Read(src, unit)
		if len(lines) == 0 && !found.HasErrors() {
			t.Error("no line and no error")
		}
		rows := strings.Count(string(src), "\n") + 1
		for _, e := range found {
			if e.Says == "" || e.At.Line > rows || e.At.Line < 0 || e.At.Column < 0 {
				t.Errorf("%+v in %d rows", e, rows)
			}
		}
		r := Compare(p, lines)
		wrong := len(r.Missing)
		for _, v := range r.Lines {
			if v.Is != Right {
				wrong++
			}
		}
		if wrong != len(r.Findings) && wrong < len(r.Findings) || r.Holds && r.Findings.HasErrors() || len(r.Lines) != len(lines) {
			t.Errorf("%d wrong, %d findings, holds %v", wrong, len(r.Findings), r.Holds)
		}
	})
}
