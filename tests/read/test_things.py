"""Things by their names, by form and what it is for, and by the words of a shop; roles decide. Common practice."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor import load_rulebase
from advisor.errors import RuleBaseError
from advisor.read.reader import read_sentence
from advisor.read.sentence import Sentence
from advisor.rulebase.words import with_shop_words

BASE = load_rulebase()

TAKEN = {
    "a cover thing for my hatchet": "axe_mask",
    "belt pouch for my phone": "phone_pouch",
    "leather to wrap the handle of my axe": "handle_wrap",
    "side of 8oz bridle for belts": "trouser_belt",
    "my last belt tore, now I want a wallet": "bifold_wallet",
    "I have made two wallets and want a watch strap": "watch_strap",
    "snaps on the coin purse": "coin_pouch",
    "blood red wallet": "bifold_wallet",
    "patch for a jacket elbow": "elbow_patch",
    "thin leather for wallets, and a hat if any is left": "bifold_wallet",
    "instead of flowers we thought luggage tags, ninety guests, each with a name": "luggage_tag",
    "leather with no seams for a bar top, green": "table_top_cover",
    "straps to use as handles on a toy chest": "case_handle",
    "soft leather for anklts, purple": "anklet",
    "need a piece of leather for a knife sheath": "knife_sheath",
    "we decided on leather coasters as favours, 70 of them": "coaster",
    "we're having leather luggage tags as thank-yous for sixty guests": "luggage_tag",
    "I've got two carver chairs with drop-in seats and would like to do them in oxblood leather": "drop_in_seat",
    "the band inside his trilby has rotted and I want to put a new leather one in": "hat_sweatband",
    "leather for the arms of a sofa": "chair_arm",
    "a watch starp in brown": "watch_strap",
    "an axe msak": "axe_mask",
    "a tool blet": "tool_belt",
    "I need to cut a gasket for where the carburettor bolts on to the engine": "engine_gasket",
    "a thing you throw your dice in with poppers on the corners": "snap_tray",
}
BACKWARDS = {
    "a strap for my aunts old mandolin": "guitar_strap",
    "The strap on my uncle's old rucksack tore, I need another": "bag_strap",
    "the hinges on our chicken coop rust, I want two of leather": "leather_hinge",
    "to cover the seat of my moped": "motorbike_seat",
    "I have four kitchen chairs and want to redo the seats": "drop_in_seat",
    "handle for a wicker basket": "bag_handle",
    "I need a new strap for grandmas handbag, brown": "bag_strap",
    "straps for the stirrups of our cob": "stirrup_leather",
}
OF_A_WHOLE = {
    "There is a tomahawk loose in my van and I want a cover for the head": "axe_mask",
    "a cover for the blade of my hatchet, it hangs in the shed": "axe_mask",
    "straps to hold the bonnet shut on a kit car": "bonnet_strap",
    "a band for my aunt's bonnet": "hat_band",
    "neck straps for a kestrel": "falconry_strap",
    "leather cups for the pump in our yard": "pump_cup",
    "leather ring for my thumb": "ring_band",
}
BESIDES = {
    "set of six place mats and six coasters": ("table_mat", "coaster"),
    "sheath for a bowie + cover for a hatchet": ("knife_sheath", "axe_mask"),
    "a tool roll for my chisels and a mask for my axe": ("tool_roll", "axe_mask"),
    "We have a spaniel and I'd like to make him a lead and a collar to go with it": ("dog_lead", "dog_collar"),
    "my greyhound needs a collar, a wide one, and a lead to match it": ("dog_collar", "dog_lead"),
}
AROUND = {
    "something so the tablet doesn't get knocked about in the satchel": "satchel_briefcase",
    "want to make a thing so the phone stays put under the saddle of my bike": "bike_saddle",
    "I want a thing that stops my flask leaking in my backpack": "backpack",
    "a bit of leather behind the door handle so it doesn't mark the wall": "leather_piece",
    "I would like leather panels on the wall behind the bed": "leather_piece",
}
AT_LENGTH = {
    "my nephew is twelve on Friday and I want to make him a wallet, he has a scooter and a drum kit he treats like a"
    " dog, I never did this before, and all I own is needles and a cutting mat": "bifold_wallet",
}
ASKED = {
    "my dog slips out of her collar": "dog_collar",
    "a bag": "crossbody",
    "something to keep my chisels in": "tool_roll",
    "a rigger's belt": "trouser_belt",
}


@pytest.mark.parametrize(("text", "thing"), TAKEN.items())
def test_the_thing_is_taken(text: str, thing: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is not None
    assert named.taken.thing.slug == thing


@pytest.mark.parametrize(("text", "thing"), BACKWARDS.items())
def test_a_thing_is_named_by_what_it_is_on_or_for(text: str, thing: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is not None, [c.thing.slug for c in named.candidates]
    assert named.taken.thing.slug == thing


@pytest.mark.parametrize(("text", "thing"), OF_A_WHOLE.items())
def test_a_part_means_its_whole_and_a_word_what_it_means_beside_others(text: str, thing: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is not None, [c.thing.slug for c in named.candidates]
    assert named.taken.thing.slug == thing


@pytest.mark.parametrize("text", ["pouch for a torch 12 cm, belt carry", "holster for secateurs, belt mounted"])
def test_where_a_thing_is_carried_is_no_second_thing(text: str) -> None:
    reading = read_sentence(BASE, text)
    assert reading.named.taken is not None
    assert reading.named.others == ()
    assert not any(d.code == "second_thing" for d in reading.doubts)


def test_beside_what_is_plainly_named_little_else_is_offered() -> None:
    named = read_sentence(BASE, "a strap that keeps the lid on my picnic hamper").named
    assert named.taken is None
    assert "luggage_strap" in [c.thing.slug for c in named.candidates]
    assert len(named.candidates) <= 3


def test_what_is_known_as_one_of_several_is_told_as_it_was_said() -> None:
    reading = read_sentence(BASE, "a pair of fairy wings")
    assert reading.named.taken is not None
    assert reading.named.taken.called == '"fairy wings"'
    assert any("fairy wings" in d.text for d in reading.doubts if d.code == "no_recipe")


@pytest.mark.parametrize(("text", "things"), BESIDES.items())
def test_a_second_thing_is_said_back(text: str, things: tuple[str, str]) -> None:
    reading = read_sentence(BASE, text)
    named = reading.named
    assert named.taken is not None
    assert (named.taken.thing.slug, *(c.thing.slug for c in named.others)) == things
    assert [d.code for d in reading.doubts].count("second_thing") == 1


def test_a_second_thing_is_said_back_that_only_its_form_names() -> None:
    reading = read_sentence(BASE, "making cupboard handles and a strap to hang the oven gloves")
    assert reading.answers["item"].values == ("drawer_pull",)
    assert [d.text for d in reading.doubts if d.code == "second_thing" and "a strap" in d.text]


@pytest.mark.parametrize("text", ["a belt with a buckle and a keeper", "a journal cover with a pen loop and a strap"])
def test_a_part_is_no_second_thing(text: str) -> None:
    assert not [d for d in read_sentence(BASE, text).doubts if d.code == "second_thing"]


@pytest.mark.parametrize(("text", "around"), AROUND.items())
def test_neither_a_carrier_nor_what_is_around_is_taken(text: str, around: str) -> None:
    named = read_sentence(BASE, text).named
    offered = [c.thing.slug for c in ([named.taken] if named.taken else named.candidates)]
    assert around not in offered[:1]


@pytest.mark.parametrize(
    "text", ["is the leather in the drawer by the counter the same as the brown one", "is it the stuff by the window?"]
)
def test_places_of_what_is_asked_about_are_not_offered(text: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is None
    assert named.candidates == ()


@pytest.mark.parametrize("text", ["leather for a dairy", "a watch trap", "a trail for dogs"])
def test_a_word_of_its_own_is_no_slip(text: str) -> None:
    assert not Sentence(BASE, text).fixed


@pytest.mark.parametrize(("text", "thing"), AT_LENGTH.items())
def test_words_told_elsewhere_make_no_other_thing_of_what_is_asked_for(text: str, thing: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is not None
    assert named.taken.thing.slug == thing
    assert named.instead


@pytest.mark.parametrize(
    ("text", "absurd"),
    [
        ("want to make a tunic, I have a van, a toolbox and a rack of wine", {"bottle_rack", "tool_roll"}),
        ("he wants a waistcoat, the lads have a rack of bottles and a bench", {"bottle_rack", "bench_cushion"}),
    ],
)
def test_what_other_clauses_name_is_not_offered(text: str, absurd: set[str]) -> None:
    named = read_sentence(BASE, text).named
    offered = {c.thing.slug for c in (*named.candidates, *([named.taken] if named.taken else []))}
    assert offered
    assert not offered & absurd


@pytest.mark.parametrize("text", ["3 x butt 4 mm bridle black", "side of harness 12 oz russet, no brands"])
def test_a_leather_sold_by_its_cut_is_no_tack(text: str) -> None:
    named = read_sentence(BASE, text).named
    assert named.taken is None
    assert named.candidates == ()


def test_what_a_thing_is_worn_on_is_not_taken() -> None:
    named = read_sentence(BASE, "she'd like a holder for it for her belt, it is a folding fan").named
    assert named.taken is None


def test_a_strip_says_not_what_becomes_of_it() -> None:
    named = read_sentence(BASE, "a strip 30 mm wide to replace the lining of my skirt waistband").named
    offered = [c.thing.slug for c in (*named.candidates, *([named.taken] if named.taken else []))]
    assert "waistband_part" in offered


def test_the_work_done_to_a_thing_is_what_is_asked_for() -> None:
    named = read_sentence(BASE, "leather for rebacking a diary").named
    asked = [c.thing.slug for c in named.candidates] or [named.taken and named.taken.thing.slug]
    assert asked[0] == "bookbinding"


@pytest.mark.parametrize(("text", "thing"), ASKED.items())
def test_what_is_not_clear_is_asked(text: str, thing: str) -> None:
    reading = read_sentence(BASE, text)
    assert reading.named.taken is None
    assert "item" not in reading.answers
    assert thing in [c.thing.slug for c in reading.named.candidates]


def test_a_noun_in_an_answer_changes_nothing() -> None:
    reading = read_sentence(BASE, "flat, for my wallet", item="card_holder")
    assert "item" not in reading.answers


def test_a_correction_changes_the_thing() -> None:
    reading = read_sentence(BASE, "no, it's a belt", item="dog_collar")
    assert reading.answers["item"].values == ("trouser_belt",)


def test_two_things_are_taken_one_at_a_time() -> None:
    reading = read_sentence(BASE, "a belt and a key fob")
    assert reading.answers["item"].values == ("trouser_belt",)
    assert [c.thing.slug for c in reading.named.others] == ["key_fob"]
    assert any(d.code == "second_thing" for d in reading.doubts)


@pytest.mark.parametrize(
    "say",
    [
        "two skins of goatskin for a drum hinge",
        "mat for under the cat's dish",
        "can't skive, only got a craft knife and an awl",
    ],
)
def test_a_part_of_the_purpose_an_animal_or_a_tool_at_hand_makes_no_other_thing(say: str) -> None:
    assert read_sentence(BASE, say).named.taken is None


SHOP = """
[thing.trouser_belt]
names = ["gallus holder-upper"]

[thing.whatsit]
name = "whatsit"
near = "key_fob"
names = ["whatsit", "local whatsit"]
"""


def test_a_shop_adds_its_customers_words(tmp_path: Path) -> None:
    (tmp_path / "words.toml").write_text(SHOP, encoding="utf-8")
    base = with_shop_words(BASE, tmp_path)
    assert read_sentence(base, "a gallus holder-upper").answers["item"].values == ("trouser_belt",)
    known = read_sentence(base, "leather for a whatsit")
    assert known.named.taken is not None
    assert known.named.taken.thing.near == "key_fob"
    assert "item" not in known.answers
    assert any(d.code == "no_recipe" for d in known.doubts)
    # The words of a shop stay its own.
    assert read_sentence(BASE, "a gallus holder-upper").answers.get("item") is None


def test_what_is_made_as_another_is_reckoned_as_that_and_says_so(tmp_path: Path) -> None:
    (tmp_path / "words.toml").write_text(SHOP.replace("near =", "made_as ="), encoding="utf-8")
    reading = read_sentence(with_shop_words(BASE, tmp_path), "two local whatsits in red")
    assert reading.answers["item"].values == ("key_fob",)
    assert reading.answers["quantity"].values == (2.0,)
    told = [d.text for d in reading.doubts if d.code == "made_as"]
    assert told == ["I have no recipe of its own for a whatsit; I reckon it as a key fob."]


def test_a_mistake_in_the_words_of_a_shop_names_its_line(tmp_path: Path) -> None:
    (tmp_path / "words.toml").write_text('[thing.whatsit]\nname = "whatsit"\nnear = "key_fab"\nnames = ["whatsit"]\n')
    with pytest.raises(RuleBaseError, match=r'words\.toml:1.*"key_fab" is no recipe.*key_fob'):
        with_shop_words(BASE, tmp_path)


def test_the_demo_shop_has_words_of_its_own() -> None:
    shop = Path(__file__).parents[2] / "transcripts_demo" / "house"
    base = with_shop_words(BASE, shop)
    assert read_sentence(base, "a tram card wallet").answers["item"].values == ("card_holder",)
