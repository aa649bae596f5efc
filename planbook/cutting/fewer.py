"""placeholder"""
def fewer_diagrams(drafts, instance, columns, effort):
    return drafts
