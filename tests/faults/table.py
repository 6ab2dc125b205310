"""All faults, with how often each is made."""

from tests.faults.clocks import clock_is_set, slept_an_hour, stopped_process, summer_time
from tests.faults.disks import (
    disk_full,
    disk_full_at_each_step,
    disk_full_at_the_end,
    disk_read_only,
    sync_fails,
)
from tests.faults.ending import asked_to_end
from tests.faults.endurance import simulated_hours
from tests.faults.files import (
    foreign_file,
    held_by_a_program,
    newer_record,
    second_instance,
    spoiled_record,
)
from tests.faults.flips import flipped_byte
from tests.faults.killing import killed_migrating, killed_recording, killed_sealing
from tests.faults.lines import (
    baud_noise,
    falls_silent,
    flood,
    half_frames,
    late_answers,
    port_busy,
    replugged_elsewhere,
    swapped,
    unplugged,
)
from tests.faults.tally import Fault

__all__ = ["FAULTS"]

FAULTS = (
    Fault("killed while recording", killed_recording, 50, 500),
    Fault("killed while sealing", killed_sealing, 12, 500),
    Fault("killed while migrating", killed_migrating, 20, 500),
    Fault("disk full", disk_full, 2, 50),
    Fault("disk full at each 64 KiB", disk_full_at_each_step, 3, 160),
    Fault("disk full at the end", disk_full_at_the_end, 2, 20),
    Fault("asked to end", asked_to_end, 3, 60),
    Fault("disk read-only", disk_read_only, 2, 50),
    Fault("sync reports an error", sync_fails, 5, 60),
    Fault("unplugged", unplugged, 2, 100),
    Fault("replugged elsewhere", replugged_elsewhere, 2, 40),
    Fault("two meters swapped", swapped, 1, 20),
    Fault("port busy", port_busy, 1, 20),
    Fault("half frames", half_frames, 2, 20),
    Fault("baud noise", baud_noise, 2, 100),
    Fault("flood", flood, 1, 4),
    Fault("falls silent", falls_silent, 1, 10),
    Fault("late answers", late_answers, 1, 10),
    Fault("clock is set", clock_is_set, 4, 40),
    Fault("slept an hour", slept_an_hour, 1, 20),
    Fault("summer time", summer_time, 2, 10),
    Fault("process stopped", stopped_process, 1, 20),
    Fault("second instance", second_instance, 1, 20),
    Fault("newer record", newer_record, 3, 50),
    Fault("spoiled record", spoiled_record, 60, 5000),
    Fault("flipped byte", flipped_byte, 15, 5000),
    Fault("foreign file", foreign_file, 8, 400),
    Fault("held by a program", held_by_a_program, 1, 20),
    Fault("simulated hours", simulated_hours, 2, 72),
)
