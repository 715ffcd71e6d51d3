package main

// toolVersion is recorded with every book and export.
const toolVersion = "ringtrue 0.1"
