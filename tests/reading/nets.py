"""The two nets: as they learn, in whole numbers, and as a file."""

import struct

import torch
import torch.nn as nn
import torch.nn.functional as F

# Layers of 3 by 3: channels, and the step.
LAYERS = [(12, 1), (32, 2), (48, 2), (64, 1), (64, 2)]
HIDDEN = 72
DIGIT_ROWS, LETTER_ROWS = 12, 4
ROWS = DIGIT_ROWS + LETTER_ROWS
# A score of the last layer is in these parts of a nat.
PARTS = 64
SHIFT = 24


class Net(nn.Module):
    """Convolutions with their norms, folded away before the numbers are rounded."""

    def __init__(self):
        super().__init__()
        self.conv, self.norm = nn.ModuleList(), nn.ModuleList()
        before = 1
        for channels, step in LAYERS:
            self.conv.append(nn.Conv2d(before, channels, 3, step, 1, bias=False))
            self.norm.append(nn.BatchNorm2d(channels))
            before = channels
        self.full = nn.Linear(before * 12, HIDDEN, bias=False)
        self.full_norm = nn.BatchNorm1d(HIDDEN)
        self.last = nn.Linear(HIDDEN, ROWS)

    def forward(self, patch):
        x = patch[:, None] / 255
        for conv, norm in zip(self.conv, self.norm, strict=True):
            x = F.relu(norm(conv(x)))
        x = F.dropout(F.relu(self.full_norm(self.full(x.flatten(1)))), 0.1, self.training)
        return self.last(x)


def folded(conv, norm):
    scale = norm.weight / torch.sqrt(norm.running_var + norm.eps)
    shape = [-1] + [1] * (conv.weight.dim() - 1)
    return conv.weight * scale.view(shape), norm.bias - norm.running_mean * scale


def rounded(x):
    """Rounded, with the slope of what was not."""
    return x + (x.round() - x).detach()


class Rounded(nn.Module):
    """The same net with weights of 8 bits and activations of 0 to 255, as it
    learns to live with them."""

    def __init__(self, net, patches):
        super().__init__()
        pairs = [folded(c, n) for c, n in zip(net.conv, net.norm, strict=True)]
        pairs.append(folded(net.full, net.full_norm))
        pairs.append((net.last.weight, net.last.bias))
        self.weight = nn.ParameterList([nn.Parameter(w.detach().clone()) for w, _ in pairs])
        self.bias = nn.ParameterList([nn.Parameter(b.detach().clone()) for _, b in pairs])
        self.register_buffer("top", torch.ones(len(pairs)))
        # The activation that becomes 255, of each layer but the last.
        with torch.no_grad():
            x = patches[:, None] / 255
            for nth in range(len(pairs) - 1):
                x = self.layer(nth, x, self.weight[nth], self.bias[nth]).relu()
                sample = x.flatten()[:: max(1, x.numel() // 2_000_000)]
                self.top[nth] = sample.quantile(0.9998).clamp(min=1e-3)

    def layer(self, nth, x, weight, bias):
        if nth < len(LAYERS):
            return F.conv2d(x, weight, bias, LAYERS[nth][1], 1)
        return F.linear(x.flatten(1), weight, bias)

    def steps(self, nth):
        """Of each row of weights (of all alike in the last layer)."""
        weight = self.weight[nth].detach()
        most = weight.abs().flatten(1).max(1).values.clamp(min=1e-6)
        if nth == len(self.weight) - 1:
            most = most.max().expand(len(most))
        return most / 127

    def forward(self, patch):
        x = patch[:, None] / 255
        for nth in range(len(self.weight)):
            step = self.steps(nth)
            shape = [-1] + [1] * (self.weight[nth].dim() - 1)
            weight = rounded(self.weight[nth] / step.view(shape)) * step.view(shape)
            x = self.layer(nth, x, weight, self.bias[nth])
            if nth < len(self.weight) - 1:
                top = self.top[nth]
                x = rounded((x / top).clamp(0, 1) * 255) / 255 * top
        return x

    def whole_numbers(self):
        """Per layer: weights of 8 bits, biases, and by what sums are multiplied."""
        out = []
        before = 1.0 / 255
        for nth in range(len(self.weight)):
            step = self.steps(nth).double()
            shape = [-1] + [1] * (self.weight[nth].dim() - 1)
            weight = (self.weight[nth].detach().double() / step.view(shape)).round()
            unit = step * before
            bias = (self.bias[nth].detach().double() / unit).round()
            after = self.top[nth].double().item() / 255 if nth < len(self.weight) - 1 else 1 / PARTS
            factor = (unit / after * (1 << SHIFT)).round().clamp(1, 2**31 - 1)
            out.append((weight.cpu(), bias.cpu(), factor.cpu()))
            before = after
        return out


def scores(layers, patch):
    """The integers that the program comes to (exact in doubles: sums stay
    below 2 to the 53rd)."""
    x = patch[:, None].double()
    device = x.device
    for nth, (weight, bias, factor) in enumerate(layers):
        weight, bias, factor = weight.to(device), bias.to(device), factor.to(device)
        if nth < len(LAYERS):
            total = F.conv2d(x, weight, None, LAYERS[nth][1], 1).round()
            shape = (1, -1, 1, 1)
        else:
            total = F.linear(x.flatten(1), weight).round()
            shape = (1, -1)
        total = (total + bias.view(shape)) * factor.view(shape)
        total = ((total + (1 << (SHIFT - 1))) / (1 << SHIFT)).floor()
        x = total.clamp(0, 255) if nth < len(layers) - 1 else total
    return x.long()


def packed(nets):
    """The file: for each net and layer the factors and biases (i32, little
    endian), then the weights (i8): of a convolution by output, row, column and
    input channel; of the first full layer by output, row, column, channel."""
    out = b""
    for layers in nets:
        for nth, (weight, bias, factor) in enumerate(layers):
            if nth < len(LAYERS):
                weight = weight.permute(0, 2, 3, 1)
            elif nth == len(LAYERS):
                weight = weight.view(HIDDEN, LAYERS[-1][0], 4, 3).permute(0, 2, 3, 1)
            numbers = [int(v) for v in weight.flatten()]
            out += struct.pack(f"<{len(factor)}i", *(int(v) for v in factor))
            out += struct.pack(f"<{len(bias)}i", *(int(v) for v in bias))
            out += struct.pack(f"<{len(numbers)}b", *numbers)
    return out
