package views

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"path"
)

// file is one stylesheet, module or picture, kept in memory.
type file struct {
	content    []byte
	mime, etag string
}

// mimes are said here and not by the machine, whose own table may differ.
var mimes = map[string]string{
	".css": "text/css; charset=utf-8",
	".js":  "text/javascript; charset=utf-8",
	".svg": "image/svg+xml",
}

var static = mustReadStatic()

// Static gives a file of /static/ by its name, with its type and a strong entity tag (quoted, as the header wants it).
func Static(name string) (content []byte, mime, etag string, ok bool) {
	f, ok := static[name]
	return f.content, f.mime, f.etag, ok
}

// asset gives the address of a file of /static/. It changes with the content, so browsers may keep the file for good.
func asset(name string) (string, error) {
	f, ok := static[name]
	if !ok {
		return "", fmt.Errorf("there is no static file %q", name)
	}
	return "/static/" + name + "?v=" + f.etag[1:9], nil
}

// mustReadStatic reads what the compiler put into the program; that this fails is a fault of the build.
func mustReadStatic() map[string]file {
	entries, err := fs.ReadDir(files, "static")
	if err != nil {
		panic(err)
	}
	all := make(map[string]file, len(entries))
	for _, e := range entries {
		content, err := files.ReadFile(path.Join("static", e.Name()))
		if err != nil {
			panic(err)
		}
		mime, ok := mimes[path.Ext(e.Name())]
		if !ok {
			panic("views: no type is known for static/" + e.Name())
		}
		sum := sha256.Sum256(content)
		all[e.Name()] = file{content, mime, `"` + hex.EncodeToString(sum[:16]) + `"`}
	}
	return all
}
