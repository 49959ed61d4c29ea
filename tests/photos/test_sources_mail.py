"""Pictures out of saved mails. The mails are written by the standard library, or by hand in the RFC's forms."""

from __future__ import annotations

import base64
import mailbox
import quopri
from collections.abc import Callable
from email.message import EmailMessage
from email.policy import SMTP
from pathlib import Path

import pytest

from soundmetal.photos.arrivals import everything
from soundmetal.photos.intake import Intake
from soundmetal.photos.sources.kinds import is_mail

Take = Callable[..., Intake]
Draw = Callable[..., bytes]


def mail(*attached: tuple[str, bytes], subject: str = "Rust", html: str = "") -> EmailMessage:
    made = EmailMessage()
    made["From"], made["To"], made["Subject"] = "owner@example.org", "shop@example.org", subject
    made["Date"] = "Wed, 18 Nov 2026 09:05:00 -0500"
    made.set_content("Here they are.")
    if html:
        made.add_alternative(html, subtype="html")
    for name, data in attached:
        made.add_attachment(data, maintype="image", subtype="jpeg", filename=name)
    return made


def by_hand(head: str, data: bytes, encoding: str = "base64") -> bytes:
    """A mail of one part whose head is written out."""
    body = base64.encodebytes(data) if encoding == "base64" else quopri.encodestring(data)
    fields = "From: a@example.org\nDate: Wed, 18 Nov 2026 09:05:00 -0500"
    return f"{fields}\nContent-Transfer-Encoding: {encoding}\n{head}\n\n".encode() + body


@pytest.fixture
def send(tmp_path: Path, take: Take) -> Callable[..., Intake]:
    """Give a function that saves a mail and takes it in."""

    def sent(content: EmailMessage | bytes, name: str = "letter.eml") -> Intake:
        (tmp_path / name).write_bytes(content if isinstance(content, bytes) else content.as_bytes(policy=SMTP))
        return take(tmp_path / name)

    return sent


def test_attached_pictures_come_out_byte_for_byte(send: Callable[..., Intake], car: Path, draw: Draw) -> None:
    done = send(mail(("IMG_1.jpg", draw()), ("IMG_2.jpg", draw((30, 20)))))
    assert (done.added, done.refused) == (("letter/IMG_1.jpg", "letter/IMG_2.jpg"), ())
    assert {photo.path.read_bytes() for photo in everything(car).photos} == {draw(), draw((30, 20))}
    assert send(mail(("IMG_1.jpg", draw()), ("IMG_2.jpg", draw((30, 20))))).already == done.added


def test_two_pictures_of_one_name_as_phones_send_them(send: Callable[..., Intake], draw: Draw) -> None:
    letter = mail(("image0.jpeg", draw()), ("image0.jpeg", draw((9, 9))))
    assert send(letter).added == ("letter/image0.jpeg", "letter/image0 (2).jpeg")
    assert send(letter).already == ("letter/image0.jpeg", "letter/image0 (2).jpeg")


def test_pictures_inside_the_text(send: Callable[..., Intake], draw: Draw) -> None:
    letter = mail(html='<p>look <img src="cid:one"></p>')
    page = letter.get_payload()[1]
    page.add_related(draw(), maintype="image", subtype="jpeg", cid="<one>")
    assert send(letter).added == ("letter/picture 5.jpg",)


def test_a_mail_in_a_mail_in_a_mail(send: Callable[..., Intake], draw: Draw) -> None:
    inner = mail(("deep.jpg", draw()))
    middle = mail(("middle.jpg", draw((30, 20))))
    middle.add_attachment(inner)
    outer = mail()
    outer.add_attachment(middle)
    assert send(outer).added == ("letter/middle.jpg", "letter/deep.jpg")


def test_a_mail_inside_that_is_encoded_against_the_rules(send: Callable[..., Intake], draw: Draw) -> None:
    inner = mail(("deep.jpg", draw())).as_bytes()
    head = 'Content-Type: message/rfc822\nContent-Disposition: attachment; filename="forwarded.eml"'
    assert send(by_hand(head, inner)).added == ("letter/forwarded/deep.jpg",)


def test_a_zip_in_a_mail(send: Callable[..., Intake], tmp_path: Path, draw: Draw, pack: Callable[..., Path]) -> None:
    packed = pack({"rocker/1.jpg": draw()}, tmp_path / "p.zip").read_bytes()
    letter = mail()
    letter.add_attachment(packed, maintype="application", subtype="octet-stream", filename="photos.zip")
    assert send(letter).added == ("letter/photos/rocker/1.jpg",)


@pytest.mark.parametrize(
    ("head", "name"),
    [
        # RFC 2231, sections 3 and 4: continuations, character sets, both at once.
        ("Content-Disposition: attachment; filename*=UTF-8''piso%20pi%C3%B1%C3%B3n.jpg", "piso piñón.jpg"),
        ("Content-Disposition: attachment;\n filename*0=rocker;\n filename*1=.left.jpg", "rocker.left.jpg"),
        ("Content-Disposition: attachment;\n filename*0*=iso-8859-1'es'pi%F1;\n filename*1=on.jpg", "piñon.jpg"),
        # RFC 2047 in a quoted string: forbidden by its section 5, and what many programs write.
        ('Content-Disposition: attachment; filename="=?utf-8?B?cGnDsW9uLmpwZw==?="', "piñon.jpg"),
        ('Content-Disposition: attachment; filename="=?iso-8859-1?Q?pi=F1on?= =?utf-8?Q?=2Ejpg?="', "piñon.jpg"),
        ('Content-Disposition: attachment; filename="=?no-such?Q?a?=.jpg"', "a.jpg"),
        # The older place for a name (RFC 2046, appendix; from memory).
        ('Content-Type: image/jpeg; name="old.jpg"', "old.jpg"),
        # A type that lies: content decides.
        ('Content-Type: application/octet-stream; name="IMG.DAT"', "IMG.DAT"),
        ('Content-Type: text/plain; name="IMG.txt"', "IMG.txt"),
    ],
)
def test_names_as_mails_write_them(send: Callable[..., Intake], draw: Draw, head: str, name: str) -> None:
    assert send(by_hand(head, draw())).added == (f"letter/{name}",)


def test_quoted_printable(send: Callable[..., Intake], car: Path, draw: Draw) -> None:
    done = send(by_hand('Content-Type: image/jpeg; name="q.jpg"', draw(), "quoted-printable"))
    assert done.added == ("letter/q.jpg",)
    assert everything(car).photos[0].path.read_bytes() == draw()


def test_the_description_of_a_part_is_its_caption(send: Callable[..., Intake], car: Path, draw: Draw) -> None:
    head = 'Content-Type: image/jpeg; name="q.jpg"\nContent-Description: =?utf-8?Q?rocker=2C_left?='
    send(by_hand(head, draw()))
    assert everything(car).photos[0].caption == "rocker, left"


def test_a_mail_that_is_cut_off_gives_what_came(send: Callable[..., Intake], draw: Draw) -> None:
    whole = mail(("1.jpg", draw()), ("2.jpg", draw((30, 20)))).as_bytes(policy=SMTP)
    done = send(whole[:-400])
    assert "letter/1.jpg" in done.added
    assert ("letter.eml", "the mail is cut off") in [(bad.name, bad.why) for bad in done.refused]


def test_a_broken_picture_is_named_with_its_mail(send: Callable[..., Intake], draw: Draw) -> None:
    done = send(mail(("good.jpg", draw()), ("broken.jpg", b"no picture"), ("film.mp4", b"film")))
    assert done.added == ("letter/good.jpg",)
    assert [bad.name for bad in done.refused] == ["letter.eml > broken.jpg", "letter.eml > film.mp4"]


def test_a_picture_without_a_name_that_is_none(send: Callable[..., Intake]) -> None:
    done = send(by_hand("Content-Type: image/jpeg", b"no picture"))
    assert [(bad.name, bad.why) for bad in done.refused] == [
        ("letter.eml > part 1", "is no picture that can be used here"),
    ]


def test_a_mail_without_pictures_says_so(send: Callable[..., Intake]) -> None:
    assert [bad.why for bad in send(mail()).refused] == ["holds no photograph"]


def test_mails_in_a_folder_are_opened_by_content(take: Take, phone: Path, draw: Draw) -> None:
    (phone / "saved").write_bytes(mail(("1.jpg", draw())).as_bytes())
    (phone / "notes.txt").write_text("From: nobody\nrust everywhere\n")
    assert take(phone).added == ("phone/saved/1.jpg",)


def test_a_mail_kept_by_another_program(take: Take, tmp_path: Path, draw: Draw) -> None:
    """As the standard library's own mail box stores it, with the line in front that such boxes have."""
    box = mailbox.mbox(tmp_path / "box")
    box.add(mail(("1.jpg", draw())))
    box.close()
    assert take(tmp_path / "box").added == ("box/1.jpg",)


@pytest.mark.parametrize(
    ("head", "expected"),
    [
        (b"From: a\r\nTo: b\r\n\r\nhi", True),
        (b"\xef\xbb\xbfDate: x\nSubject: y\n\n", True),
        (b"Received: from a\n by b\nReturn-Path: <c>\n", True),
        (b"From: a\nFrom: b\n\n", False),
        (b"From: a\nrust\nTo: b\n", False),
        (b"Ana: hello\nBen: hello\n", False),
        (b"", False),
        (b"\xff\xd8\xff", False),
    ],
)
def test_a_mail_is_told_by_its_fields(head: bytes, expected: bool) -> None:
    assert is_mail(head) is expected
