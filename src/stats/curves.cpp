// The methods' curves (derived in the header): error functions where these do, tables where the closed form is slow or loses digits.
// Neither the gain over guessing nor the shortfall from certainty is a difference of nearly equal numbers.
// Tests: tests/unit/stats/curves.test.cpp

#include "oddplate/stats/curves.hpp"

#include <cmath>
#include <numbers>

#include "curve_table.hpp"
#include "oddplate/stats/normal.hpp"

namespace oddplate::stats {
namespace {

using std::numbers::sqrt2;
using std::numbers::sqrt3;

constexpr double k_sqrt6 = 2.449489742783178098197284074705891;
constexpr double k_sqrt12 = 2.0 * sqrt3;

/// What there is to gain, split between gain and shortfall; `most` is 1 - chance.
double table_gain(const CurveTable& table, double most, double d) {
    if (d < table.split) return at(table.near, d).value * (table.order == 1 ? d : d * d);
    const double t = 1.0 / (1.0 + d);
    return most - std::exp(-table.decay * d * d) * at(table.far, t).value * t;
}

double table_shortfall(const CurveTable& table, double most, double d) {
    if (d < table.split) return most - table_gain(table, most, d);
    const double t = 1.0 / (1.0 + d);
    return std::exp(-table.decay * d * d) * at(table.far, t).value * t;
}

double table_slope(const CurveTable& table, double d) {
    if (d < table.split) {
        const auto [value, slope] = at(table.near, d);
        return table.order == 1 ? value + d * slope : d * (2.0 * value + d * slope);
    }
    const double t = 1.0 / (1.0 + d);
    const auto [value, slope] = at(table.far, t);
    return std::exp(-table.decay * d * d) * t * (value * (2.0 * table.decay * d + t) + slope * t * t);
}

template <const CurveTable& table>
double gain_of(double d) {
    return table_gain(table, 1.0 - 1.0 / 3, d);
}

template <const CurveTable& table>
double shortfall_of(double d) {
    return table_shortfall(table, 1.0 - 1.0 / 3, d);
}

template <const StartTable& table>
double start_by_gain(double gain) {
    const double w = table.order == 1 ? gain : std::sqrt(gain);
    return w * at(table.near, w).value;
}

template <const StartTable& table>
double start_by_shortfall(double shortfall) {
    const double r = 1.0 + std::sqrt(-std::log(shortfall));
    return r * at(table.far, 1.0 / r).value;
}

template <const StartTable& table>
constexpr Link link_of(double chance, double (*gain)(double), double (*shortfall)(double), double (*slope)(double), bool is_signed) {
    return {chance, gain, shortfall, slope, is_signed, start_by_gain<table>, start_by_shortfall<table>};
}

double triangle_slope(double d) {
    return 2.0 / k_sqrt6 * normal_density(d / k_sqrt6) * std::erf(d / 2.0);
}

double two_afc_gain(double d) {
    return std::erf(d / 2.0) / 2.0;
}

double two_afc_shortfall(double d) {
    return std::erfc(d / 2.0) / 2.0;
}

double two_afc_slope(double d) {
    return std::exp(-d * d / 4.0) * std::numbers::inv_sqrtpi / 2.0;
}

double duo_trio_gain(double d) {
    return std::erf(d / 2.0) * std::erf(d / k_sqrt12) / 2.0;
}

double duo_trio_shortfall(double d) {
    const double a = std::erfc(d / 2.0), b = std::erfc(d / k_sqrt12);   // twice the upper tails
    return ((2.0 - a) * b + (2.0 - b) * a) / 4.0;
}

double duo_trio_slope(double d) {
    return (std::exp(-d * d / 4.0) * std::erf(d / k_sqrt12) + std::exp(-d * d / 12.0) * std::erf(d / 2.0) / sqrt3) *
           std::numbers::inv_sqrtpi / 2.0;
}

// Pc(-d) = Pc(d) - erf(d/2): Owen's T is even and Phi(x) - Phi(-x) = erf(x/sqrt 2).
double three_afc_gain(double d) {
    return d >= 0.0 ? gain_of<k_three_afc>(d) : gain_of<k_three_afc>(-d) + std::erf(d / 2.0);
}

double three_afc_shortfall(double d) {
    return d >= 0.0 ? shortfall_of<k_three_afc>(d) : 2.0 / 3 - three_afc_gain(d);
}

double three_afc_slope(double d) {
    return sqrt2 * normal_density(d / sqrt2) * normal_cdf(d / k_sqrt6);
}

double tetrad_slope(double d) {
    return 2.0 * sqrt2 * normal_density(d / sqrt2) * std::erf(d / k_sqrt12);
}

// specified(-d) = unspecified(d) - specified(d): whoever groups rightly names the stronger pair or the weaker one.
double specified_gain(double d) {
    if (d >= 0.0) return table_gain(k_specified_tetrad, 1.0 - 1.0 / 6, d);
    return gain_of<k_tetrad>(-d) - table_gain(k_specified_tetrad, 1.0 - 1.0 / 6, -d);
}

double specified_shortfall(double d) {
    return d >= 0.0 ? table_shortfall(k_specified_tetrad, 1.0 - 1.0 / 6, d) : 1.0 - 1.0 / 6 - specified_gain(d);
}

double specified_slope(double d) {   // the header's closed form needs Owen's T, which takes a hundred times as long
    return d >= 0.0 ? table_slope(k_specified_tetrad, d) : table_slope(k_specified_tetrad, -d) - tetrad_slope(-d);
}

double two_out_of_five_gain(double d) {
    return table_gain(k_two_out_of_five, 0.9, d);
}

double two_out_of_five_shortfall(double d) {
    return table_shortfall(k_two_out_of_five, 0.9, d);
}

double two_out_of_five_slope(double d) {
    return table_slope(k_two_out_of_five, d);
}

}   // namespace

const Link& triangle_link() {
    static constexpr Link link =
        link_of<k_triangle_start>(1.0 / 3, gain_of<k_triangle>, shortfall_of<k_triangle>, triangle_slope, false);
    return link;
}

const Link& two_afc_link() {
    static constexpr Link link = link_of<k_two_afc_start>(0.5, two_afc_gain, two_afc_shortfall, two_afc_slope, true);
    return link;
}

const Link& duo_trio_link() {
    static constexpr Link link = link_of<k_duo_trio_start>(0.5, duo_trio_gain, duo_trio_shortfall, duo_trio_slope, false);
    return link;
}

const Link& three_afc_link() {
    static constexpr Link link = link_of<k_three_afc_start>(1.0 / 3, three_afc_gain, three_afc_shortfall, three_afc_slope, true);
    return link;
}

const Link& tetrad_link() {
    static constexpr Link link = link_of<k_tetrad_start>(1.0 / 3, gain_of<k_tetrad>, shortfall_of<k_tetrad>, tetrad_slope, false);
    return link;
}

const Link& specified_tetrad_link() {
    static constexpr Link link =
        link_of<k_specified_tetrad_start>(1.0 / 6, specified_gain, specified_shortfall, specified_slope, true);
    return link;
}

const Link& two_out_of_five_link() {
    static constexpr Link link = link_of<k_two_out_of_five_start>(0.1, two_out_of_five_gain, two_out_of_five_shortfall,
                                                                  two_out_of_five_slope, false);
    return link;
}

}   // namespace oddplate::stats
