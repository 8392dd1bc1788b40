"""Safety and the way: locks, proof after a break, stops, the way back, waits by the clock, what is put back."""

from tests.browser.conftest import CARD, Hand


def test_the_bar_calls_a_lock_as_its_step_does(desk):
    locked = "Lock the hood of the plug in this position with your own lock: padlock. Hang your tag on it."
    sections = tuple(
        each._replace(steps=tuple(s._replace(command=locked) if s.key == "lock" else s for s in each.steps))
        for each in CARD.sections
    )
    card = CARD._replace(sections=sections)
    hand = Hand(desk.open(desk.file(card), clock="2026-06-01T08:00:00")).locked()
    assert hand.said("#locks").startswith("Locked: hood of the plug.")
    assert hand.page.evaluate("desk.it.about.locked") == ["hood of the plug"]


def test_locks_and_proof_stand_in_the_bar(hand):
    hand.begin()
    assert hand.said("#locks") == "Nothing is locked."
    hand.on().on().read("50.9").on()
    hand.page.fill("[name=entry-3-code]", "none")
    hand.on().answer(0).on(2).on(2)
    hand.page.fill("[name=entry-8-lock]", "lock 4")
    hand.on()
    assert hand.said("#locks") == "Locked: battery plug. Zero not proved."
    hand.on()
    hand.page.clock.fast_forward("00:10:30")
    hand.on()
    assert hand.step == 10
    hand.read("0.1", "0", "0", "0").on()
    assert hand.said("#locks").startswith("Locked: battery plug. Zero proved 08:1")


def test_a_wait_runs_by_the_clock_and_does_not_go_on_by_itself(hand):
    hand.begin().on().on().read("50.9").on()
    hand.page.fill("[name=entry-3-code]", "none")
    hand.on().answer(0).on(2).on(2)
    hand.page.fill("[name=entry-8-lock]", "lock 4")
    hand.on()
    assert hand.step == 9 and hand.next.startswith("Start the clock")
    hand.on().on()
    assert hand.refusal.startswith("Wait by the clock first")
    hand.page.clock.fast_forward("00:00:30")
    hand.on()
    assert hand.step == 9
    hand.page.clock.fast_forward("00:30:00")
    assert hand.step == 9
    assert hand.on().step == 10


def test_a_proof_that_fails_leads_to_leave_locked_and_report(hand):
    hand.locked()
    hand.page.evaluate("desk.happen('back', {})")
    hand.read("0.1", "0", "7,2", "0").on()
    page = hand.page
    assert page.locator(".finding.current").get_attribute("id") == "finding-6"
    lines = page.locator("#outcome .require").all_inner_texts()
    assert lines[0] == "My locks and tags stay on: battery plug."
    assert "reported" in lines[-1]
    hand.on()
    assert hand.refusal == "Tick each line first: it stands in the record."
    for place in range(len(lines)):
        page.check(f"#outcome .require input >> nth={place}")
    hand.on()
    end = page.evaluate("desk.made().end")
    assert (end["kind"], end["key"], end["left"]) == ("finding", "not-zero", "out-of-service")
    assert page.evaluate("desk.made().left_as.locked") == ["battery plug"]


def test_after_a_break_zero_is_proved_again_before_hands_work(hand):
    hand.locked()
    assert hand.step == 11
    hand.page.clock.fast_forward("00:59:00")
    assert hand.on().step == 12
    hand.page.clock.fast_forward("01:01:00")
    hand.on()
    assert hand.step == 10
    assert hand.refusal == "A break of 61 min 00 s: prove zero again before hands come near."
    assert hand.said("#locks").endswith("Zero is being proved again.")
    assert hand.next == "Fill in the reading"
    hand.read("0", "0", "0", "0.2").on()
    assert hand.step == 12
    assert "Zero proved" in hand.said("#locks")
    made = hand.page.evaluate("desk.made()")
    assert [visit["again"] for visit in made["path"] if visit["step"] == 10] == [False, True]
    assert 3600 < made["pauses"][0]["seconds"] < 3700


def test_what_was_typed_before_the_break_is_still_there_after_it(hand):
    hand.locked().on()
    hand.read("1.00")
    hand.page.clock.fast_forward("02:00:00")
    hand.on().read("0", "0", "0", "0").on()
    assert hand.step == 12
    assert hand.page.input_value("[name=read-12-0]") == "1.00"


def test_without_locks_a_break_changes_nothing(hand):
    hand.begin()
    hand.page.clock.fast_forward("05:00:00")
    assert hand.on().step == 2


def test_a_clock_that_goes_back_is_told_and_zero_proved_again(hand):
    hand.locked()
    hand.page.clock.set_system_time("2026-06-01T06:00:00")
    hand.on()
    assert hand.step == 10
    slips = hand.page.evaluate("desk.made().clock")
    assert slips and slips[0]["seconds"] < -3600


def test_cant_do_this_leaves_the_machine_locked_and_says_so(hand):
    hand.locked()
    page = hand.page
    page.click("#cant")
    page.click("#panel button:text-is('Stop here')")
    assert page.inner_text("#panel .refusal") == "Say why first."
    page.check('#panel input[value="I can\'t reach it"]')
    page.fill("#panel [name=reason-text]", "The plug is <b>behind</b> the weld.")
    page.click("#panel button:text-is('Stop here')")
    assert "The plug is <b>behind</b> the weld." in hand.said("#outcome")
    lines = page.locator("#outcome .require")
    assert lines.first.inner_text() == "My locks and tags stay on: battery plug."
    for place in range(lines.count()):
        page.check(f"#outcome .require input >> nth={place}")
    hand.on()
    made = page.evaluate("desk.made()")
    assert (made["end"]["kind"], made["end"]["left"]) == ("stopped", "out-of-service")
    assert made["left_as"]["locked"] == ["battery plug"]
    assert made["stops"][0]["reason"] == "I can't reach it"


def test_with_nothing_locked_or_open_a_stop_asks_how_the_machine_is_left(hand):
    hand.begin()
    hand.page.click("#cant")
    hand.page.check("#panel input[value='It is not as written']")
    hand.page.click("#panel button:text-is('Stop here')")
    hand.on()
    assert hand.refusal == "Say first how you leave the machine."
    hand.page.check("#outcome input[value=ready]")
    for place in range(3):
        hand.page.check(f"#outcome .require input >> nth={place}")
    hand.on()
    assert hand.page.evaluate("desk.made().end.left") == "as-final"


def test_after_asking_the_step_is_done_again(hand):
    hand.begin()
    hand.page.click("#cant")
    hand.page.check("#panel input[value='I am not sure that it is safe']")
    hand.page.click("#panel button:text-is('Stop here')")
    hand.page.click("#outcome button:has-text('I have asked')")
    hand.page.fill("[name=asked-who]", "C. Lark")
    hand.page.fill("[name=asked-text]", "It is the older panel. Go on.")
    hand.page.click("#panel button:text-is('Do the step again')")
    assert hand.step == 1
    stop = hand.page.evaluate("desk.made().stops[0]")
    assert (stop["asked"], stop["answer"]) == ("C. Lark", "It is the older panel. Go on.")


def test_the_way_back_says_what_it_undoes_and_keeps_it_in_the_record(hand):
    hand.begin().on(2).read("50.9").on()
    hand.menu("Go back a step")
    told = hand.said("#panel")
    assert "Back to step 2" in told and "the reading 50.9 V" in told and "“50.2 V to 51.6 V”" in told
    hand.page.click("#panel button:has-text('Stay here')")
    assert hand.step == 3
    hand.menu("Go back a step")
    hand.page.click("#panel button:has-text('Go back to step 2')")
    assert hand.step == 2
    assert hand.page.input_value("[name=read-2-0]") == "50.9"
    hand.read("51").on()
    undone = [bool(visit["undone"]) for visit in hand.page.evaluate("desk.made().path") if visit["step"] == 2]
    assert undone == [True, False]


def test_the_way_back_does_not_cross_a_lock(hand):
    hand.begin().on().on().read("50.9").on()
    hand.page.fill("[name=entry-3-code]", "none")
    hand.on().answer(0).on(2)
    hand.menu("Go back a step")
    assert "Step 6 moved a switch or a lock" in hand.said("#panel")
    assert hand.page.locator("#panel button:has-text('Go back')").count() == 0


def test_what_was_put_in_place_is_looked_at_before_the_machine_runs(desk):
    """A step of the role `check` lists what was opened or placed on the way to it."""
    closing = CARD.sections[-1]
    check = closing.steps[0]._replace(role="check")
    card = CARD._replace(sections=(*CARD.sections[:-1], closing._replace(steps=(check, *closing.steps[1:]))))
    hand = Hand(desk.open(desk.file(card), clock="2026-06-01T08:00:00")).locked()
    hand.on().read("1", "1", "1").on().on().on(2).on()
    hand.read("50", "50", "50")
    hand.page.fill("[name=hold-15]", "B. Wren")
    hand.on().on().answer(0).on()
    assert hand.said("#step-19 .put-back .require") == ("axle stands: opened or placed at step 14, put back at step 16")
    assert hand.on().refusal.startswith("Look at each thing to be put back")
    hand.page.check("#step-19 .put-back input")
    assert hand.on().step == 20


def test_somebody_else_takes_over(hand):
    hand.begin().menu("Somebody else takes over")
    hand.page.fill("[name=new-who]", "B. Wren")
    hand.page.click("#panel button:text-is('Take over')")
    hand.on()
    made = hand.page.evaluate("desk.made()")
    assert [each["who"] for each in made["people"]] == ["A. Finch", "B. Wren"]
    assert made["path"][0]["who"] == "B. Wren"
