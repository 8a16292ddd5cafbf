"""The demo's fill: field tests over three zones, worked forward from a stated model."""
