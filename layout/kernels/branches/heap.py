"""The open branches of a tree as a heap: the one of the least bound is on top."""

from __future__ import annotations

from layout.kernels.compiled import kernel


@kernel
def push(node, tree):
    """Put a branch among the open ones."""
    k = tree.size[1]
    tree.size[1] += 1
    while k > 0:
        parent = (k - 1) // 2
        if tree.value[tree.heap[parent]] <= tree.value[node]:
            break
        tree.heap[k] = tree.heap[parent]
        k = parent
    tree.heap[k] = node


@kernel
def pop(tree):
    """Take the open branch of the least bound."""
    top = tree.heap[0]
    tree.size[1] -= 1
    count = tree.size[1]
    node = tree.heap[count]
    k = 0
    while True:
        below = 2 * k + 1
        if below >= count:
            break
        if below + 1 < count and (tree.value[tree.heap[below + 1]] < tree.value[tree.heap[below]]):
            below += 1
        if tree.value[tree.heap[below]] >= tree.value[node]:
            break
        tree.heap[k] = tree.heap[below]
        k = below
    if count > 0:
        tree.heap[k] = node
    return top
