"""Float geometry of a resolved plan: solids, states of the work, views with hidden lines.

The way through it::

    from planbook.shape import arrange, paths, states
    from planbook.shape.direction import FRONT, ISO_LEFT, ISO_RIGHT, SIDE, TOP, Direction
    from planbook.shape.solids import Body, Solids, overlaps
    from planbook.shape.view import View

    solids = Solids(plan)                                  # caches every version of every part
    before = states.state_before(plan, step.number)        # tuple of Standing, pure plan data
    after = states.state_after(plan, step.number)
    new = states.new_in(plan, step.number)

    old = solids.bodies(before)                            # tuple of Body, one for each piece of wood:
    fresh = solids.bodies(new, shift=(0.0, 0.0, 80.0))     # a part's own wood, and every edging on it
    view = View((*old, *fresh), ISO_RIGHT)                 # all work that depends on the direction
    lines = view.state(first=fresh)                        # cheap; `view.state(old)` for a subset

    for piece in lines.visible:                            # Piece(body, kind, start, end), mm, right and up
        ...                                                # kind: Kind.OUTLINE or Kind.EDGE
    lines.hidden                                           # the covered rest, each line once
    for region in lines.regions():                         # Region(body, outer, holes, area)
        ...
    lines.anchor(body)                                     # Anchor(point, radius, area) or None
    view.project((x, y, z))                                # assembly mm to picture mm
    arrange.to_assembly(placement, (l, w, t))              # part mm to assembly mm, exact
    flat = arrange.laid_flat(plan, placement)              # the same copy lying on the bench
    solids.bodies([states.Standing(flat, states.version_after(plan, part, n))])
    paths.ways_out(solids.bodies(new, holes=False), rest)  # ("-y",): how a part leaves, and so comes in
    overlaps(plan)                                         # copies that claim the same space, mm3

Picture coordinates are millimetres of the model on the picture plane, x to the right and y up; an
isometric view is a true projection, so that a length along an axis shows at sqrt(2/3) of its size.
"""
