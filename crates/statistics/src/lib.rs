//! Statistics on plain numbers: survival, agreement, regression, control charts.
//!
//! Inputs are slices of numbers, outputs are documented results with their method, variance and
//! interval. This room never knows what a foot is, and never prints.
