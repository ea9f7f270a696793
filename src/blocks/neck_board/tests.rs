//! Boards of any neck: nothing touches.

