//! Drawings free of any device or format: plan, true shapes, sections, net.
