"""What a customer says, in the customer's own words, to complaints of the catalogue."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from math import log

from tipward.faults.catalogue import Catalogue
from tipward.faults.nouns import Synonym

LEAST_COVERED = 0.78  # design: share of the weight of a longer phrase that must be said
LEAST_GUESSED = 0.62  # design: the same where nothing was understood otherwise; both tried on invented sentences only
BREAK = "|"
NOT = "not"
_WORDS = re.compile(r"\d+(?:\.\d+)?|[^\W\d_]+|[.,;:!?()\n]")
_BREAKERS = frozenset(".,;:!?()\n") | {"but", "and", "though", "although", "however", "yet", "then", "because"}
_FILLING = """
a an the this that these those it its i im ive me my mine we us our you your he she they them their his her is are am be
been being was were do does did have has had will would can could should may might must to of in on at by for from with
into onto as so up down out if or also even just really very quite pretty bit some any there here now still
again already get gets got getting go goes going went want wants like about over all when while whenever than too what
which who how seems seem think lot please hello hi thanks thank guys sort kind maybe well one always
"""
_EMPTY = frozenset(_FILLING.split())


@dataclass(frozen=True)
class _Index:
    """Phrases of the complaints in trade words, with the weight of each word, and the way from words to trade words."""

    synonyms: dict[tuple[str, ...], str]
    longest: int
    vocabulary: tuple[str, ...]
    phrases: tuple[tuple[str, tuple[str, ...]], ...]
    weight: dict[str, float]


def understand(catalogue: Catalogue, text: str) -> tuple[str, ...]:
    """Find the complaints in a customer's own words, best first.

    Parameters
    ----------
    catalogue : Catalogue
        Its complaints and synonyms are what is understood.
    text : str
        What the customer says, any length; small slips of spelling do no harm.

    Returns
    -------
    tuple of str
        Complaint ids; a complaint said only as part of a more exact one is left out. Empty where nothing is understood.

    Raises
    ------
    Nothing.

    Source: design (docs/decisions/0006).

    >>> from tipward.faults import load_catalogue
    >>> understand(load_catalogue(), "It bird's-nests at the rollers when I'm welding")
    ('nest-while-welding',)
    """
    phrases = tuple((item.id, (item.name, *item.words)) for item in catalogue.complaints.values())
    index = _index(phrases, catalogue.synonyms)
    said = _trade_words(text, index, mend=True)
    return _ranked(_found(index, said, LEAST_COVERED, 4)) or _ranked(_found(index, said, LEAST_GUESSED, 2))[:1]


def _found(
    index: _Index, said: Sequence[str], least: float, whole_below: int
) -> dict[str, tuple[float, frozenset[int]]]:
    """Complaint → weight of its best phrase here, and where; phrases under ``whole_below`` words must be whole."""
    found: dict[str, tuple[float, frozenset[int]]] = {}
    for complaint, phrase in index.phrases:
        score, places = _match(phrase, said, index.weight, 1.0 if len(phrase) < whole_below else least)
        if score > found.get(complaint, (0.0, frozenset()))[0]:
            found[complaint] = (score, places)
    return found


def _ranked(found: dict[str, tuple[float, frozenset[int]]]) -> tuple[str, ...]:
    kept: list[tuple[str, frozenset[int]]] = []
    for complaint, (_, places) in sorted(found.items(), key=lambda item: (-item[1][0], item[0])):
        if not any(places < others for _, others in kept):
            kept.append((complaint, places))
    return tuple(complaint for complaint, _ in kept)


@lru_cache(maxsize=4)
def _index(phrases: tuple[tuple[str, tuple[str, ...]], ...], synonyms: tuple[Synonym, ...]) -> _Index:
    table, vocabulary = _synonym_table(synonyms)
    vocabulary |= {word for _, texts in phrases for text in texts for word in _raw(text)}
    longest = max((len(words) for words in table), default=1)
    index = _Index(table, longest, tuple(sorted(word for word in vocabulary if len(word) > 4)), (), {})
    spoken = tuple(
        (complaint, tuple(dict.fromkeys(word for word in _trade_words(text, index) if word != BREAK)))
        for complaint, texts in phrases
        for text in texts
    )
    used_by = Counter(word for complaint, word in {(c, w) for c, words in spoken for w in words})
    weight = {word: 0.3 + log(max(len(phrases), 2) / count) for word, count in used_by.items()}
    return _Index(table, longest, index.vocabulary, spoken, weight)


def _synonym_table(synonyms: Iterable[Synonym]) -> tuple[dict[tuple[str, ...], str], set[str]]:
    """Each way of saying it → the trade word; exact forms go before stems, negation inside is made plain first."""
    synonyms = tuple(synonyms)
    exact: dict[tuple[str, ...], str] = {}
    for item in sorted(synonyms, key=lambda item: item.word != NOT):
        for said in (item.word, *item.also):
            words = tuple(_raw(said))
            exact[words] = item.word
            exact[_plain_negation(words, exact)] = item.word
    stems = {tuple(map(_stem, words)): word for words, word in exact.items() if word != NOT}
    return stems | exact, {word for words in exact for word in words}


def _plain_negation(words: tuple[str, ...], exact: dict[tuple[str, ...], str]) -> tuple[str, ...]:
    if len(words) < 2:
        return words
    return tuple(NOT if exact.get((word,)) == NOT else word for word in words)


def _raw(text: str) -> list[str]:
    return _WORDS.findall(re.sub(r"['’`´]", "", text.casefold()).replace("-", " ").replace("–", " "))


def _stem(word: str) -> str:
    """Cut the endings that a trade sentence varies: -s, -es, -ed, -ing, a silent -e, a doubled last letter."""
    for ending, least in (("ing", 3), ("ed", 3), ("es", 3), ("s", 3)):
        if word.endswith(ending) and len(word) - len(ending) >= least and not word.endswith(("ss", "eed")):
            word = word[: -len(ending)]
            break
    if len(word) > 3 and (word.endswith("e") or (word[-1] == word[-2] and word[-1] not in "lsz")):
        word = word[:-1]
    return word


def _trade_words(text: str, index: _Index, mend: bool = False) -> list[str]:
    """Words of a text as trade words without filling; negation is bound to what it negates, clauses part at BREAK."""
    words = [_mended(word, index.vocabulary) if mend else word for word in _raw(text)]
    words = [NOT if index.synonyms.get((word,)) == NOT else word for word in words]
    spoken: list[str] = []
    place = 0
    while place < len(words):
        taken, word = _longest(words, place, index)
        if taken == 1 and words[place] in _BREAKERS:
            spoken.append(BREAK)
        elif taken > 1 or words[place] not in _EMPTY:
            spoken.append(word)
        place += taken
    return _bind_negation(spoken)


def _longest(words: Sequence[str], place: int, index: _Index) -> tuple[int, str]:
    for length in range(min(index.longest, len(words) - place), 0, -1):
        part = tuple(words[place : place + length])
        for key in (part, tuple(map(_stem, part))):
            if key in index.synonyms:
                return length, index.synonyms[key]
    return 1, _stem(words[place])


def _mended(word: str, vocabulary: Sequence[str]) -> str:
    if len(word) < 6 or word in vocabulary or word in _EMPTY or not word.isalpha():
        return word
    near = get_close_matches(word, [item for item in vocabulary if item[0] == word[0]], 1, 0.86)
    return near[0] if near else word


def _bind_negation(words: Sequence[str]) -> list[str]:
    bound: list[str] = []
    waiting = False
    for word in [*words, BREAK]:
        if word == NOT:
            waiting = True
        elif word == BREAK:
            if waiting and bound and bound[-1] != BREAK:
                bound[-1] = f"{NOT} {bound[-1]}"
            bound.append(BREAK)
            waiting = False
        else:
            bound.append(f"{NOT} {word}" if waiting else word)
            waiting = False
    return bound


def _match(
    phrase: Sequence[str], said: Sequence[str], weight: dict[str, float], share: float
) -> tuple[float, frozenset[int]]:
    """Best window of the text for a phrase: the weight said there, if enough of the phrase is said, and where."""
    least = share * sum(weight[word] for word in phrase) - 1e-9
    if not phrase or sum(weight[word] for word in phrase if word in said) < least:
        return 0.0, frozenset()
    width, best = 2 * len(phrase) + 3, (0.0, frozenset[int]())
    for start in range(max(1, len(said) - width + 1)):
        window = said[start : start + width]
        places = {word: start + window.index(word) for word in phrase if word in window}
        score = sum(weight[word] for word in places)
        if score >= max(least, best[0] + 1e-9) and len(places) >= min(2, len(phrase)):
            best = (score, frozenset(places.values()))
    return best
