/* The words of the checklist. */
#include "loomtag/words.h"

const struct lt_checklist_words lt_checklist_words = {
	.title = "Checklist",
	.part_unplug = "Part 1: Making safe and unplugging",
	.part_reconnect = "Part 2: Reconnecting",
	.unplugged_by = "Part 1 done by",
	.reconnected_by = "Part 2 done by",
	.date = "date",
	.read_first = "Read this first",
	.make_safe = "Make the machine safe",
	.make_safe_how =
		"Do the steps in this order and tick each one. On a blank line, write what you "
		"did, or “none”. Each time you prove that something is dead, first try the tester "
		"on a source that is known to be live. Then test. Then try the tester on that "
		"source again.",
	.every_energy_known =
		"Every source of energy is known: those listed below and those found on the "
		"machine",
	.people_told = "Everyone affected is told, and the machine is shut down in the normal way",
	.no_hazards = "No hazards are described for this harness",
	.no_hazards_how = "A hazard that is not described can still kill or injure you. Look for "
			  "mains, batteries and charged capacitors. Look for springs, raised "
			  "weights, pressure and heat. Look for any supply that can feed back "
			  "another way. Write down what you find. Make it safe before you unplug "
			  "anything.",
	.check_and_unplug = "Check the stickers, then unplug",
	.check_and_unplug_how =
		"Box “stickers checked”: the stickers of this line are on this joint. Tick it "
		"while everything is still plugged in. When all of these boxes are ticked, unplug "
		"in this order. Box “unplugged”: the joint is apart.",
	.make_joints = "Make the joints in this order",
	.make_joints_how =
		"The same number on both halves is the right pair. Seat it, pull gently, tick. "
		"Finish one joint before you begin the next.",
	.replaced = "REPLACE PART",
	.new_part = "NEW PART",
	.on_paper = "ON PAPER",
	.last_checks = "Last checks",
	.no_last_checks = "No last checks are described for this harness. Write here what you must "
			  "check before the covers close:",
	.restore = "Restore energy",
	.restore_how =
		"Energy that comes back too early can kill or injure somebody at the machine. "
		"First tick every line above. Then restore in this order. Where local codes ask "
		"for a licence, only licensed people may restore.",
	.tools_out = "Tools and loose parts are out, covers are closed",
	.people_clear = "Everyone affected is told and stands clear",
	.written_energies = "Each source written down in part 1 is restored, the last one first",
	.other_written_energies =
		"Any other source written down in part 1 is restored, the last one first",
	.run_and_watched = "The machine was run and watched",
};

void lt_checklist_add_title(struct lt_text *out, const struct lt_harness *harness)
{
	if (harness->title != NULL)
		lt_text_add(out, harness->title);
	else
		lt_text_printf(out, "Harness %s", harness->harness);
}

void lt_checklist_add_count(struct lt_text *out, size_t joints, size_t numbered)
{
	if (joints == 1)
		lt_text_add(out, "The joint above is ticked");
	else if (numbered == joints)
		lt_text_printf(out, "All %zu joints above are ticked", joints);
	else
		lt_text_printf(out,
			"All %zu joints above are ticked: %zu by number, %zu checked by eye",
			joints, numbered, joints - numbered);
}
