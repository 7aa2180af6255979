"""Writes the averaged weights as ONNX: input `mel` [1, frames, 80], output `act` [1, frames, 3], probabilities.

Weights are stored as float16 and cast to float32 when the model is loaded, which halves the file.
    python3 export.py checkpoint.pt rhythm.onnx
"""
import sys

import torch
from torch import nn

from network import BANDS, RhythmNet


class Probabilities(nn.Module):
    def __init__(self, net):
        super().__init__()
        self.net = net

    def forward(self, mel):
        return torch.sigmoid(self.net(mel))


def export(weights, path):
    net = RhythmNet()
    net.load_state_dict({k: v.cpu() for k, v in weights.items()})
    net.eval()
    torch.onnx.export(Probabilities(net), (torch.zeros(1, 500, BANDS),), path, input_names=["mel"], output_names=["act"],
                      dynamic_axes={"mel": {1: "frames"}, "act": {1: "frames"}}, opset_version=17, dynamo=False)
    halve(path)


def halve(path):
    import onnx
    from onnx import TensorProto, helper, numpy_helper
    import numpy as np
    model = onnx.load(path)
    casts = []
    for tensor in model.graph.initializer:
        if tensor.data_type != TensorProto.FLOAT or np.prod(tensor.dims) < 64:
            continue
        values = numpy_helper.to_array(tensor).astype(np.float16)
        name = tensor.name
        tensor.CopyFrom(numpy_helper.from_array(values, name + "_half"))
        casts.append(helper.make_node("Cast", [name + "_half"], [name], to=TensorProto.FLOAT))
    nodes = casts + list(model.graph.node)
    del model.graph.node[:]
    model.graph.node.extend(nodes)
    onnx.checker.check_model(model)
    onnx.save(model, path)


if __name__ == "__main__":
    export(torch.load(sys.argv[1], map_location="cpu", weights_only=False)["mean"], sys.argv[2])
