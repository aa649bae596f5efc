"""The resolved plan, one per edition: every size, place, joint, step and list, ready to draw and print."""
