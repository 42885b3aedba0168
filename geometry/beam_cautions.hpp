// The cautions of a beam calculation, in --help and on every report. Their one place.
#pragma once

namespace raybend {

inline constexpr const char *beam_cautions[] = {
    "This is a calculation for a laboratory; it is not a certified design and replaces no test.",
    "The material is linear elastic (neo-Hookean at finite strain): it does not yield, crack, creep or "
    "buckle locally.",
    "Stress at a point load, a support, a clamped edge or a re-entrant corner is not a material stress; read "
    "it a "
    "depth away.",
};

} // namespace raybend
