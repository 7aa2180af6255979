"""Cuts an exported network in two where its pictures of the frames become one row of features a frame.

The first file hears each frame with the three before and after it, so that a song can go through it in pieces; the second
hears the whole song. One after the other they give exactly what the whole network gives.
    python3 cut.py rhythm.onnx ../analysis/evidence/network                    writes rhythm-front.onnx and rhythm-song.onnx there
    python3 cut.py --join ../analysis/evidence/network rhythm.onnx             puts the two together again, for warm.py and validate.py
"""
import sys

import onnx
from onnx import TensorProto, helper

WIDTH, BANDS = 96, 80


def cut(whole, folder):
    graph = whole.graph
    # The features are squeezed once, then read by the row of convolutions and by the recurrent part.
    (squeeze,) = [node for node in graph.node if node.op_type == "Squeeze"]
    seam = squeeze.output[0]
    needed, front = {seam}, []
    for node in reversed(graph.node):
        if needed & set(node.output):
            front.insert(0, node)
            needed |= set(node.input)
    names = {name for node in front for name in node.output}
    song = [node for node in graph.node if not names & set(node.output)]
    rename(front + song, seam, "heard")
    io = lambda name, *shape: helper.make_tensor_value_info(name, TensorProto.FLOAT, [1, *shape])
    heard = io("heard", WIDTH, "frames")
    part = lambda nodes, *ends: save(whole, nodes, *ends)
    part(front, io("mel", "frames", BANDS), heard, f"{folder}/rhythm-front.onnx")
    part(song, heard, io("act", "frames", 3), f"{folder}/rhythm-song.onnx")


def join(folder, path):
    front, song = (onnx.load(f"{folder}/rhythm-{part}.onnx") for part in ("front", "song"))
    front.graph.initializer.extend(song.graph.initializer)
    save(front, [*front.graph.node, *song.graph.node], front.graph.input[0], song.graph.output[0], path)


def rename(nodes, old, new):
    for node in nodes:
        for names in (node.input, node.output):
            names[:] = [new if name == old else name for name in names]


def save(model, nodes, given, result, path):
    """Writes `nodes` with those weights of `model` that they use."""
    used = {name for node in nodes for name in node.input}
    weights = [tensor for tensor in model.graph.initializer if tensor.name in used]
    graph = helper.make_graph(nodes, model.graph.name, [given], [result], weights)
    made = helper.make_model(graph, opset_imports=model.opset_import, ir_version=model.ir_version, producer_name=model.producer_name)
    onnx.checker.check_model(made)
    onnx.save(made, path)


if __name__ == "__main__":
    if sys.argv[1] == "--join":
        join(*sys.argv[2:])
    else:
        cut(onnx.load(sys.argv[1]), sys.argv[2])
