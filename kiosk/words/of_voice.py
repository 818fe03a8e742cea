"""What is spoken beside the screen: short, no names; and the pages for sounds and keys."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

VOICE: dict[str, Sentence] = {
    "voice.number": N_("Number {number}"),
    "voice.open": N_("Open"),
    "voice.over": N_("Open the press"),
    "voice.pre_press": N_("Pre-press"),
    "voice.tack": N_("Tack"),
    "voice.final": N_("Final press"),
    "voice.due": N_("Number {number}, peel"),
    "voice.ask": N_("Read the garment"),
    "voice.ask_closed": N_("Was it closed?"),
    "voice.setting": N_("Set the press"),
    "voice.held": N_("On hold"),
    "voice.done": N_("The job is done"),
    "page.cues": N_("Tones, voice, vibration"),
    "page.cues_line": N_("Each for itself. Steps and numbers are spoken, never names."),
    "page.cue.tones": N_("Tones: {state}"),
    "page.cue.voice": N_("Voice: {state}"),
    "page.cue.vibration": N_("Vibration: {state}"),
    "page.cue.on": N_("on"),
    "page.cue.off": N_("off"),
    "page.cue.none": N_("there is none on this machine"),
    "page.keys": N_("Pedal and switch"),
    "page.keys_line": N_("Choose what a key does, then press it. Touch always works too."),
    "page.keys_own": N_("keys that the program knows"),
    "page.keys_learned": N_("learned: key {scancode}"),
    "page.keys_forget": N_("forget all learned keys"),
    "page.keys_wait": N_("Press the key now"),
    "page.keys_wait_line": N_("{role}"),
    "role.forward": N_("Pedal: forward"),
    "role.second": N_("Second pedal: choices, choose, opened"),
    "role.closed": N_("Switch: press closed"),
    "role.opened": N_("Switch: press opened"),
    "station.pedal_stuck": N_("The pedal has been down for {seconds} s. Is something on it?"),
    "station.unplugged": N_("Unplugged: {device}. Touch works; plug the pedal in again."),
    "station.plugged": N_("Plugged in: {device}."),
}
