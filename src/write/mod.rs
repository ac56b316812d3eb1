//! Answers and drawings in open formats: SVG, PDF, DXF, glTF, CSV, JSON.
