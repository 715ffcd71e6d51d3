package training_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringtrue/training"
)

func TestIndependence(t *testing.T) {
	for _, c := range []struct {
		name, signer, taught string
		observers            []string
		want                 string
	}{
		{"taught, saw and signed by one", "luis", "luis", []string{"luis", "luis", "luis"}, "by the trainer"},
		{"taught by another, all seen and signed by one", "luis", "kim", []string{"luis", "luis", "luis"}, "by the trainer"},
		{"the owner alone is a trainer like any other", "okafor", "okafor", []string{"okafor"}, "by the trainer"},
		{"two looks of three by another than the one who taught and signs", "luis", "luis", []string{"kim", "kim", "luis"}, "together with another observer"},
		{"all looks by another than the one who taught and signs", "luis", "luis", []string{"kim"}, "together with another observer"},
		{"one look of three by another than the one who taught and signs", "luis", "luis", []string{"luis", "kim", "luis"}, "by the trainer"},
		{"one of two", "luis", "luis", []string{"luis", "kim"}, "by the trainer"},
		{"the owner taught, another saw two of three", "okafor", "okafor", []string{"luis", "okafor", "luis"}, "by the supervisor"},
		{"two looks of three by the owner, who signs; another taught", "okafor", "luis", []string{"okafor", "okafor", "luis"}, "by the supervisor"},
		{"the owner signs what others taught and saw", "okafor", "luis", []string{"luis", "kim", "luis"}, "by the supervisor"},
		{"somebody signs who was not there", "kim", "luis", []string{"luis", "luis", "luis"}, "by a third party"},
	} {
		require.Equal(t, c.want, training.Independence(c.signer, "okafor", c.taught, c.observers), c.name)
	}
}
