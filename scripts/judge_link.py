#!/usr/bin/env python3
"""Records what open libraries say about frames of the reader protocol and about rain, for the tests of the link pass.

For development only: outside the test command, outside the gate. Needs Python 3.9 or newer with osdp and itur, from
PyPI, in an environment of their own:

    python3 -m venv venv && venv/bin/pip install osdp itur
    venv/bin/python scripts/judge_link.py

Writes into `validation/judges`: `osdp_frames.csv` (commands in clear with CRC) and `osdp_secure_lengths.csv` from osdp,
`rain.csv` (ITU-R P.838-3) from itur. The tests of `dw-engine/src/link` compare with these files.
"""

import csv
from importlib.metadata import version
from pathlib import Path

import itur
from osdp._command import (DeviceCapabilitiesCommand, IdReportCommand, InputStatusReportCommand, LocalStatusReportCommand,
                           ManufacturerSpecificCommand, OutputStatusReportCommand, PollCommand,
                           ReaderStatusReportCommand)
from osdp._device import Device

FOLDER = Path(__file__).resolve().parent.parent / "validation" / "judges"


def commands(address):
    plain = (PollCommand, IdReportCommand, DeviceCapabilitiesCommand, LocalStatusReportCommand, InputStatusReportCommand,
             OutputStatusReportCommand, ReaderStatusReportCommand)
    yield from (command(address) for command in plain)
    for length in (0, 1, 13, 40):
        yield ManufacturerSpecificCommand(address, bytes(range(7, 7 + length)))


def frames(out):
    out.writerow(["address", "sequence", "code", "data", "frame"])
    for address in (0, 1, 0x42, 0x65, 0x7E):
        device = Device(address, use_crc=True, use_secure_channel=False)
        for command in commands(address):
            frame = command.build_command(device)
            frame = frame[1:] if frame[0] == 0xFF else frame
            sequence = device.message_control.sequence
            data = bytes(frame[6:-2])
            out.writerow([address, sequence, command.command_code, data.hex().upper(), bytes(frame).hex().upper()])
            device.message_control.increment_sequence()


def secure_lengths(out):
    """Lengths of commands over a channel with any keys, without mark byte."""
    out.writerow(["data", "length"])
    device = Device(1, use_crc=True, use_secure_channel=True)
    channel = device._secure_channel
    channel._enc = channel._smac1 = channel._smac2 = channel._cmac = bytes(range(16))
    channel.is_initialized = True
    channel.establish(bytes(16))
    for length in (0, 1, 8, 15, 16, 17, 31, 32, 100):
        command = ManufacturerSpecificCommand(1, bytes(length)) if length else PollCommand(1)
        frame = command.build_command(device)
        out.writerow([length, len(frame) - (frame[0] == 0xFF)])


def rain(out):
    out.writerow(["frequency_mhz", "rain_mm_per_h", "polarisation", "db_per_km"])
    for mhz in (2437, 5500, 5800, 24_125, 60_480, 80_000):
        for mm in (5, 25, 100):
            for tilt, name in ((0, "horizontal"), (90, "vertical")):
                gamma = itur.models.itu838.rain_specific_attenuation(mm, mhz / 1000, 0, tilt)
                out.writerow([mhz, mm, name, f"{float(gamma.value):.6f}"])


def record(name, package, rows):
    with open(FOLDER / name, "w", newline="") as file:
        file.write(f"# recorded from {package} {version(package)} by scripts/judge_link.py\n")
        rows(csv.writer(file, lineterminator="\n"))


record("osdp_frames.csv", "osdp", frames)
record("osdp_secure_lengths.csv", "osdp", secure_lengths)
record("rain.csv", "itur", rain)
