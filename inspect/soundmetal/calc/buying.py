"""Make or buy: from how many hours of making a bought part is the better one."""

from __future__ import annotations

from soundmetal.calc.limits import not_negative, positive


def break_even_hours(price: float, freight: float, fit_h: float, material: float, rate: float) -> float:
    """Give the hours of making at which a part made here costs as much as a bought one.

    .. math:: (p + f + h_fit r - m) / r

    Parameters
    ----------
    price : float
        Price of the bought part, p, [money]
    freight : float
        What it costs to get it here, f, [money]
    fit_h : float
        Hours to trim and fit it, beyond what a made part needs as well, h_fit, [h]
    material : float
        What the made part takes in material, m, [money]
    rate : float
        Price of an hour, r, [money/h]

    Returns
    -------
    hours : float
        Making is cheaper under it, buying over it; below 0 buying always is, [h]

    Notes
    -----
    RANGE OF VALIDITY: one rate for making and fitting; all of it before tax.

    Examples
    --------
    >>> break_even_hours(165, 35, 3.0, 18, 95)
    4.9158

    References
    ----------
    Arithmetic: make where material and hours cost less than price, freight and fitting.
    """
    bought = not_negative(price, "price") + not_negative(freight, "freight")
    fitted = bought + not_negative(fit_h, "fit_h") * positive(rate, "rate")
    return (fitted - not_negative(material, "material")) / rate
