#pragma once

#include <QColor>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

/// Colour science that only the tests of the palette need.
namespace beatwitness::widgets_test {

using Triple = std::array<double, 3>;

enum class Vision { Normal, Protan, Deutan, Tritan };

/// A colour as dichromats see it, in linear sRGB. Source: Machado, Oliveira, Fernandes 2009, severity 1.
inline Triple seenBy(Vision vision, const QColor& colour) {
    static constexpr std::array<std::array<Triple, 3>, 4> matrices{{
        {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
        {{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
        {{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
        {{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}},
    }};
    const auto linear = [](double c) {
        return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
    };
    const Triple rgb{linear(colour.redF()), linear(colour.greenF()), linear(colour.blueF())};
    Triple seen{};
    for (std::size_t row = 0; row < 3; ++row) {
        for (std::size_t i = 0; i < 3; ++i)
            seen[row] += matrices[static_cast<std::size_t>(vision)][row][i] * rgb[i];
        seen[row] = std::clamp(seen[row], 0.0, 1.0);
    }
    return seen;
}

/// CIELAB of linear sRGB under D65.
inline Triple labOf(const Triple& rgb) {
    const double x = (0.4124564 * rgb[0] + 0.3575761 * rgb[1] + 0.1804375 * rgb[2]) / 0.95047;
    const double y = 0.2126729 * rgb[0] + 0.7151522 * rgb[1] + 0.0721750 * rgb[2];
    const double z = (0.0193339 * rgb[0] + 0.1191920 * rgb[1] + 0.9503041 * rgb[2]) / 1.08883;
    const auto f = [](double t) { return t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116; };
    return {116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))};
}

/// Source: Sharma, Wu, Dalal, Color Res Appl 2005;30:21-30, equations 2 to 22.
inline double ciede2000(const Triple& one, const Triple& two) {
    constexpr double degrees = std::numbers::pi / 180, seventh = 6103515625.0;  // 25^7
    const double meanC = (std::hypot(one[1], one[2]) + std::hypot(two[1], two[2])) / 2;
    const double g = 0.5 * (1 - std::sqrt(std::pow(meanC, 7) / (std::pow(meanC, 7) + seventh)));
    const double a1 = (1 + g) * one[1], a2 = (1 + g) * two[1];
    const double c1 = std::hypot(a1, one[2]), c2 = std::hypot(a2, two[2]);
    const auto hue = [&](double b, double a) {
        if (a == 0 && b == 0) return 0.0;
        const double h = std::atan2(b, a) / degrees;
        return h < 0 ? h + 360 : h;
    };
    const double h1 = hue(one[2], a1), h2 = hue(two[2], a2);
    const bool grey = c1 * c2 == 0;
    double turn = grey ? 0 : h2 - h1;
    if (turn > 180) turn -= 360;
    if (turn < -180) turn += 360;
    const double dL = two[0] - one[0], dC = c2 - c1,
                 dH = 2 * std::sqrt(c1 * c2) * std::sin(turn / 2 * degrees);
    const double l = (one[0] + two[0]) / 2, c = (c1 + c2) / 2;
    double h = h1 + h2;
    if (!grey) h = std::abs(h1 - h2) <= 180 ? h / 2 : (h < 360 ? (h + 360) / 2 : (h - 360) / 2);
    const double t = 1 - 0.17 * std::cos((h - 30) * degrees) + 0.24 * std::cos(2 * h * degrees) +
                     0.32 * std::cos((3 * h + 6) * degrees) - 0.20 * std::cos((4 * h - 63) * degrees);
    const double turned = 30 * std::exp(-std::pow((h - 275) / 25, 2));
    const double rc = 2 * std::sqrt(std::pow(c, 7) / (std::pow(c, 7) + seventh));
    const double sl = 1 + 0.015 * std::pow(l - 50, 2) / std::sqrt(20 + std::pow(l - 50, 2));
    const double sc = 1 + 0.045 * c, sh = 1 + 0.015 * c * t;
    const double rt = -std::sin(2 * turned * degrees) * rc;
    return std::sqrt(std::pow(dL / sl, 2) + std::pow(dC / sc, 2) + std::pow(dH / sh, 2) +
                     rt * (dC / sc) * (dH / sh));
}

}  // namespace beatwitness::widgets_test
