package catalogue

import (
	"fmt"
	"path"

	"go.yaml.in/yaml/v3"

	"example.org/ringtrue/training"
)

// File is one file of a curriculum folder; Name uses slashes.
type File struct {
	Name string
	Text []byte
}

// Files writes a curriculum as the files that Parse reads.
func Files(c training.Curriculum) ([]File, error) {
	parts := []struct {
		name string
		v    any
	}{
		{editionFile, map[string]string{"edition": c.Edition}},
		{groupsFile, map[string][]training.Group{"groups": c.Groups}},
		{ppeFile, map[string][]training.Item{"ppe": c.PPE}},
	}
	for _, m := range c.Modules {
		parts = append(parts, struct {
			name string
			v    any
		}{path.Join(moduleFolder, m.ID+".yaml"), m})
	}
	var files []File
	for _, p := range parts {
		text, err := yaml.Marshal(p.v)
		if err != nil {
			return nil, fmt.Errorf("write curriculum: %s: %w", p.name, err)
		}
		files = append(files, File{p.name, text})
	}
	return files, nil
}
