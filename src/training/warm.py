"""Rebuilds the Torch network from an exported one, so that training can go on without a checkpoint.

The exporter folds each batch norm into the convolution before it. Here the norm comes back as an identity whose
statistics are those of training crops: evaluation gives what the exported network gives, and training mode agrees with it.
"""
import numpy as np
import torch
from torch import nn


def load(net, path):
    """Fills `net` (a RhythmNet) in place from the ONNX file at `path`; raises ValueError when it is of another shape."""
    import onnx
    from onnx import numpy_helper
    graph = onnx.load(path).graph
    stored = {t.name: torch.from_numpy(numpy_helper.to_array(t).astype(np.float32)) for t in graph.initializer}
    for node in graph.node:
        if node.op_type == "Cast" and node.input[0] in stored:
            stored[node.output[0]] = stored[node.input[0]]
    of = lambda kind: [n for n in graph.node if n.op_type == kind]
    pairs = [(net.front[0], net.front[1]), (net.front[5], net.front[6]), (net.front[10], net.front[11]), (net.gather, None)]
    for block in net.tcn:
        pairs += [(block.conv, block.norm), (block.mix, None)]
    nodes = of("Conv")
    if len(nodes) != len(pairs):
        raise ValueError(f"{path}: {len(nodes)} convolutions, {len(pairs)} expected; it is another network")
    with torch.no_grad():
        for node, (conv, norm) in zip(nodes, pairs):
            put(conv.weight, stored[node.input[1]], path)
            put(conv.bias, stored[node.input[2]], path)
            if norm is not None:
                identity(norm, torch.zeros(norm.num_features), torch.ones(norm.num_features) - norm.eps)
        scale = of("BatchNormalization")[0].input
        for value, name in zip((net.scale.weight, net.scale.bias, net.scale.running_mean, net.scale.running_var), scale[1:]):
            put(value, stored[name], path)
        gru = of("GRU")[0].input
        # ONNX has the gates as update, reset, candidate; Torch as reset, update, candidate.
        turn = lambda x: torch.cat([x.chunk(3)[k] for k in (1, 0, 2)])
        for way, end in enumerate(("l0", "l0_reverse")):
            b_in, b_state = stored[gru[3]][way].chunk(2)
            for name, value in (("weight_ih", stored[gru[1]][way]), ("weight_hh", stored[gru[2]][way]), ("bias_ih", b_in), ("bias_hh", b_state)):
                put(getattr(net.gru, f"{name}_{end}"), turn(value), path)
        put(net.head.weight, stored[of("MatMul")[0].input[1]].T, path)
        put(net.head.bias, stored["net.head.bias"], path)


def put(target, value, path):
    if target.shape != value.shape:
        raise ValueError(f"{path}: a weight of shape {tuple(value.shape)}, {tuple(target.shape)} expected; it is another network")
    target.copy_(value)


def identity(norm, mean, variance):
    norm.running_mean.copy_(mean)
    norm.running_var.copy_(variance)
    norm.weight.copy_(torch.sqrt(variance + norm.eps))
    norm.bias.copy_(mean)


def measure(net, crops):
    """Gives every identity norm the mean and variance of what reaches it from `crops`, a list of [batch, frames, 80]."""
    norms = [m for m in net.modules() if isinstance(m, (nn.BatchNorm1d, nn.BatchNorm2d)) and m is not net.scale]
    sums = {m: [0.0, 0.0, 0] for m in norms}

    def listen(module, inputs):
        x = inputs[0].double().transpose(0, 1).flatten(1)
        kept = sums[module]
        kept[0] = kept[0] + x.sum(1)
        kept[1] = kept[1] + (x * x).sum(1)
        kept[2] += x.shape[1]

    hooks = [m.register_forward_pre_hook(listen) for m in norms]
    net.eval()
    with torch.no_grad():
        for mel in crops:
            net(mel)
        for hook in hooks:
            hook.remove()
        for m in norms:
            total, squares, count = sums[m]
            mean = total / count
            identity(m, mean.float(), (squares / count - mean**2).clamp_min(1e-6).float())
