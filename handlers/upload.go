package handlers

import (
	"crypto/sha256"
	"encoding/hex"
	"io"
	"maps"
	"mime/multipart"
	"slices"
	"strings"

	"github.com/gofiber/fiber/v2"

	"spanroom/internal/problem"
	"spanroom/internal/stock"
)

// parts are the fields and files of a form that was sent with files; nil where the body is something else. Reading it would
// unpack a compressed one, and the page that refuses that one asks for what was typed as well.
func parts(c *fiber.Ctx) (*multipart.Form, error) {
	if bodyKind(c) != fiber.MIMEMultipartForm {
		return nil, nil
	}
	if p := compressed(c); p != nil {
		return nil, p
	}
	form, err := c.MultipartForm()
	if err != nil {
		return nil, problem.New(problem.Malformed, "the form with the file cannot be read", "send it again as multipart/form-data")
	}
	if strings.Join(form.Value[theFile], "") == "" {
		delete(form.Value, theFile) // a browser sends the box that was left empty, and it comes as an empty field
	}
	return form, nil
}

// theFile is the name of the box for a file on the forms that have one.
const theFile = "file"

// upload gives the one file that may come with a form, under a name; nil where none was chosen.
func upload(c *fiber.Ctx, name string) (*stock.FileOrder, error) {
	form, err := parts(c)
	if err != nil || form == nil {
		return nil, err
	}
	var wrong problem.Fields
	var chosen *multipart.FileHeader
	for _, field := range slices.Sorted(maps.Keys(form.File)) {
		for _, header := range form.File[field] {
			switch {
			case field != name:
				wrong.Add(field, "there is no such file to send", "send it as "+name)
			case chosen != nil:
				wrong.Add(name, "there are several files", "send one at a time")
			default:
				chosen = header
			}
		}
	}
	if err := wrong.Err(); err != nil || chosen == nil {
		return nil, err
	}
	data, err := content(chosen)
	return &stock.FileOrder{Name: chosen.Filename, Data: data}, err
}

func content(header *multipart.FileHeader) ([]byte, error) {
	f, err := header.Open()
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// sent is all that a request says, for telling whether it is the same one again. What divides the parts of a form with files
// is another each time, so that their content counts.
func sent(c *fiber.Ctx) string {
	form, err := parts(c)
	if err != nil || form == nil {
		return string(c.Body())
	}
	var all []string
	for name, values := range form.Value {
		all = append(all, name+"="+strings.Join(values, "\x00"))
	}
	for name, headers := range form.File {
		for _, header := range headers {
			data, err := content(header)
			sum := sha256.Sum256(data)
			if err == nil {
				all = append(all, name+":"+header.Filename+":"+hex.EncodeToString(sum[:]))
			}
		}
	}
	slices.Sort(all)
	return strings.Join(all, "\n")
}
