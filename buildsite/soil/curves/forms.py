"""The forms a curve may have, by name. A name is never changed nor used again."""

from buildsite.soil.curves.local import modified_akima, parabola_through_three
from buildsite.soil.curves.polynomial import cubic, quadratic
from buildsite.soil.curves.saturation import power_branches, saturation_growth
from buildsite.soil.curves.shape import Form
from buildsite.soil.curves.splines import cubic_spline, natural_spline

FORMS = {
    form.name: form
    for form in (
        Form(
            "quadratic",
            "parabola through all points by least squares",
            3,
            quadratic,
            "common practice",
        ),
        Form(
            "cubic",
            "cubic through all points by least squares",
            4,
            cubic,
            "common practice",
        ),
        Form(
            "parabola-through-three",
            "parabola through the highest point and its two neighbours, "
            "Akima's curve beyond them",
            3,
            parabola_through_three,
            "common practice",
        ),
        Form(
            "modified-akima",
            "Akima's shape-preserving curve through every point",
            3,
            modified_akima,
            "H. Akima, Journal of the ACM 17 (1970) 589-602, with modified weights",
        ),
        Form(
            "cubic-spline",
            "cubic spline through every point, ends without a knot",
            4,
            cubic_spline,
            "C. de Boor, A Practical Guide to Splines, chapter IV (from memory)",
        ),
        Form(
            "natural-spline",
            "cubic spline through every point, straight at both ends",
            3,
            natural_spline,
            "C. de Boor, A Practical Guide to Splines, chapter IV (from memory)",
        ),
        Form(
            "saturation-growth",
            "growth of saturation to a greatest value, which the wet leg keeps",
            4,
            saturation_growth,
            "H. Li, D. C. Sego, Canadian Geotechnical Journal 37 (2000): "
            "equation from memory",
        ),
        Form(
            "power-branches",
            "saturation as a power of water content, one dry and one wet of optimum",
            4,
            power_branches,
            "S. Horpibulsuk, W. Katkan, A. Apichatvullop, "
            "Soils and Foundations 48 (2008) 115-125, abstract",
            smooth=False,
        ),
    )
}
