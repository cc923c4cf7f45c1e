//! Plane geometry on kurbo: curves, offsets, corners, walking. It knows nothing of tailoring.
