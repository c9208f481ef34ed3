#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/analysis/settings_table.h"
#include "core/evaluation/question.h"
#include "core/foundation/result.h"
#include "core/foundation/run_control.h"
#include "core/library/library.h"
#include "core/report/figures/motion.h"
#include "core/report/scene.h"

namespace beatwitness::report {

enum class FigureKind {
    Overlay,
    Map,
    SmallMaps,
    Difference,
    Distribution,
    ErrorByRange,
    Intervals,
    Paired,
    Attribution,
    LossCurve,
    Sessions,
    Robustness,
    Card,
    OverTime
};

inline constexpr std::array allFigureKinds{
    FigureKind::Overlay,      FigureKind::Map,          FigureKind::SmallMaps, FigureKind::Difference,
    FigureKind::Distribution, FigureKind::ErrorByRange, FigureKind::Intervals, FigureKind::Paired,
    FigureKind::Attribution,  FigureKind::LossCurve,    FigureKind::Sessions,  FigureKind::Robustness,
    FigureKind::Card,         FigureKind::OverTime};

/// As the batch contract writes it: `overlay`, `small-maps`, …
[[nodiscard]] std::string_view figureKindName(FigureKind kind);
[[nodiscard]] std::optional<FigureKind> figureKindOf(std::string_view name);
/// "Agreement map", for menus and lists.
[[nodiscard]] std::string_view figureKindTitle(FigureKind kind);
/// True where it shows one session.
[[nodiscard]] bool showsSession(FigureKind kind);

/// `log`, `cube-root`, `linear`.
[[nodiscard]] std::string_view scaleName(Cells::Scale scale);
[[nodiscard]] std::optional<Cells::Scale> scaleOf(std::string_view name);

/// What a figure shows; with the library it says everything but size and theme.
struct FigureRequest {
    FigureKind kind = FigureKind::Overlay;
    std::string project;
    std::string session;  ///< name; empty where one session is shown: the first of the project
    std::optional<library::SessionId> sessionId;  ///< goes before the name
    /// Empty: all. "band firmware 2.5" and "band in 2031" name a part of a device (compared_side.h).
    std::vector<std::string> devices;
    std::vector<std::string> activities;  ///< empty: all
    evaluation::Clock clock = evaluation::Clock::Aligned;
    bool excludeReferenceFaults = true;
    int epoch_s = 1;
    std::optional<double> begin_s, end_s;  ///< part of the session for an overlay
    /// What an overlay shows beside the traces; `mapBeside` is the agreement map of its first device.
    bool flags = true, phases = true, pins = true, errorStrip = true, mapBeside = false;
    Cells::Scale scale = Cells::Scale::Log;  ///< of counts in maps
    std::string title, subtitle, caption;    ///< in place of the program's own, where not empty
};

/// A figure of the library as a request; names are looked up, so that a renamed device is still found.
/// Faults: WrongUsage (a kind of a later program), NotInLibrary (the project, session, a device or activity
/// is gone).
[[nodiscard]] Result<FigureRequest> requestOf(library::Library& library,
                                              const library::FigureParticulars& figure);

/// SHA-256 of every threshold in force, by key.
[[nodiscard]] std::string settingsDigest(std::span<const analysis::SettingRow> settings);

/// The figure as JSON: kind, project and everything that was asked, then program, analysis version, settings
/// digest and the
/// SHA-256 of every recording behind it.
[[nodiscard]] std::string figureDefinition(library::Library& library, const FigureRequest& request);

/// A figure, and analyses that had to be made for it: whoever may write the library keeps them for the next
/// time.
struct MadeFigure {
    Scene scene;
    std::vector<library::StoredOutcome> fresh;
    std::optional<MotionSource> motion;  ///< of kinds that can move: overlay and map
};

/// Makes the figure from the library. Faults: NotInLibrary (project, session, device), NothingToCompare
/// (nothing to show, and why), those of reading and analysing, Cancelled.
[[nodiscard]] Result<MadeFigure> makeFigure(library::Library& library, const FigureRequest& request,
                                            const RunControl& run = {});

}  // namespace beatwitness::report
