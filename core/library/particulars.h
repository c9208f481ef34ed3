#pragma once

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/agreement/criterion.h"
#include "core/foundation/clocks.h"
#include "core/foundation/units.h"
#include "core/library/figure_particulars.h"
#include "core/library/ids.h"
#include "core/library/review_particulars.h"
#include "core/library/session_draft.h"

/// What people say of the rows of a library: each struct is all of a row that can be edited, so that an edit
/// and its undo are two values of it. Texts that are not known are empty. `deleted` hides a row until it is
/// purged.
namespace beatwitness::library {

/// How the clock of a wearing is brought to the reference's.
enum class ClockMethod {
    Auto,          ///< estimated from the traces
    Offset,        ///< the stored offset and drift
    None,          ///< as recorded
    SharedSource,  ///< both clocks are known to be one: nothing is estimated, a delay is the device's own
};

struct WearingClock {
    ClockMethod method = ClockMethod::Auto;
    Seconds offset{0.0};  ///< of ClockMethod::Offset: added to the test clock at t0
    Ppm drift{0.0};       ///< likewise
    friend bool operator==(const WearingClock&, const WearingClock&) = default;
};

/// What the consensus checklist asks of preparation and protocol (field guide, section 1).
struct Conditions {
    std::string meal, caffeine, priorExercise, medication;
    std::string place, temperature, protocol;
    std::string processing;  ///< epoch and smoothing of the criterion
    friend bool operator==(const Conditions&, const Conditions&) = default;
};

/// The part of a session that counts, on the reference's clock; begin < end.
struct CountedSpan {
    RecordingTime begin, end;
    friend bool operator==(const CountedSpan&, const CountedSpan&) = default;
};

struct SessionParticulars {
    std::string name;
    std::optional<ActivityId> activity;
    std::optional<WearerId> wearer;
    std::string note;
    std::string zone;  ///< IANA name, of wall-clock times on screen
    std::optional<CountedSpan> counted;
    Conditions conditions;
    bool deleted = false;
    friend bool operator==(const SessionParticulars&, const SessionParticulars&) = default;
};

struct WearingParticulars {
    Role role = Role::Test;
    DeviceId device;
    WearingFacts facts;
    WearingOutcome outcome = WearingOutcome::Recorded;
    std::string reason;
    WearingClock clock;
    bool deleted = false;
    SessionId session;  ///< whose it is; never changed by a write
    friend bool operator==(const WearingParticulars&, const WearingParticulars&) = default;
};

struct WearerParticulars {
    std::string label;
    std::string sex;
    std::optional<int> birthYear;
    std::optional<double> height_cm, mass_kg, wrist_cm;
    std::string skinTone;  ///< Fitzpatrick I to VI, or another scale that is named
    std::string note;
    bool deleted = false;
    friend bool operator==(const WearerParticulars&, const WearerParticulars&) = default;
};

struct DeviceParticulars {
    std::string label;
    std::string sensor;  ///< ECG, PPG, …
    std::string model;
    std::string note;
    std::optional<int> colour;  ///< place among the colours of traces, from 0
    bool deleted = false;
    friend bool operator==(const DeviceParticulars&, const DeviceParticulars&) = default;
};

struct ActivityParticulars {
    std::string label;
    std::string note;
    bool deleted = false;
    friend bool operator==(const ActivityParticulars&, const ActivityParticulars&) = default;
};

struct ProjectParticulars {
    std::string label;
    std::string question;
    std::vector<DeviceId>
        devices;  ///< columns of its matrix, in order; empty: every test device of its sessions
    bool deleted = false;
    std::map<std::string, double> thresholds;  ///< those it has changed, by key (analysis/settings_table.h)
    friend bool operator==(const ProjectParticulars&, const ProjectParticulars&) = default;
};

/// A session that is still to come, or has come.
struct PlannedParticulars {
    ProjectId project;
    std::string name;
    std::optional<ActivityId> activity;
    std::string day;  ///< YYYY-MM-DD, or empty
    std::string note;
    std::vector<DeviceId> devices;     ///< ascending
    std::optional<SessionId> session;  ///< the one that it became
    bool deleted = false;
    friend bool operator==(const PlannedParticulars&, const PlannedParticulars&) = default;
};

/// A requirement of a project. What it says and when it was set never change: another one is set in its
/// place.
struct CriterionParticulars {
    ProjectId project;
    agreement::Criterion criterion;     ///< `setAt` is there in all that is stored
    std::optional<Micros> withdrawnAt;  ///< since 1970
    bool deleted = false;               ///< its setting was undone
    friend bool operator==(const CriterionParticulars&, const CriterionParticulars&) = default;
};

/// Two sides (evaluation/compared_side.h) that people hold against each other under a name of their own.
struct ComparisonParticulars {
    ProjectId project;
    std::string label;
    std::string a, b;     ///< names of sides
    std::string choices;  ///< clock, epoch, …: a word and value a line
    bool deleted = false;
    friend bool operator==(const ComparisonParticulars&, const ComparisonParticulars&) = default;
};

/// Whether a session is among those that a project selects.
struct Membership {
    ProjectId project;
    SessionId session;
    bool isMember = false;
    friend bool operator==(const Membership&, const Membership&) = default;
};

/// One row and what it is to hold, or held.
template <class RowId, class Particulars>
struct RowOf {
    RowId id;
    Particulars is;
    friend bool operator==(const RowOf&, const RowOf&) = default;
};

using RowValue =
    std::variant<RowOf<SessionId, SessionParticulars>, RowOf<WearingId, WearingParticulars>,
                 RowOf<WearerId, WearerParticulars>, RowOf<DeviceId, DeviceParticulars>,
                 RowOf<ActivityId, ActivityParticulars>, RowOf<ProjectId, ProjectParticulars>,
                 RowOf<PlannedId, PlannedParticulars>, RowOf<FigureId, FigureParticulars>,
                 RowOf<CriterionId, CriterionParticulars>, RowOf<ComparisonId, ComparisonParticulars>,
                 Membership, RowOf<SessionId, SessionReview>>;

using AnyRowId = std::variant<SessionId, WearingId, WearerId, DeviceId, ActivityId, ProjectId, PlannedId,
                              FigureId, CriterionId, ComparisonId>;

/// A row that is hidden until it is restored or purged.
struct DeletedRow {
    AnyRowId id;
    std::string label;  ///< for people; of a wearing "band in north ridge"
    Micros at{0};       ///< since 1970
};

}  // namespace beatwitness::library
