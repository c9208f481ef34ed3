#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "core/analysis/settings_table.h"
#include "core/evaluation/project_agreement.h"
#include "core/evaluation/robustness.h"
#include "core/flags/flag.h"
#include "core/library/library.h"

/// Everything that a write-up of one project says, gathered once.
namespace beatwitness::report {

/// What the analysis of one session found out about one device, for the appendix.
struct DeviceFinding {
    std::string device;
    alignment::Alignment alignment;  ///< without its loss curve
    agreement::AgreementBlock asRecorded;
    std::optional<agreement::AgreementBlock> aligned;
    std::vector<flags::Flag> flags;  ///< on the device
};

struct StudySession {
    library::SessionRow row;
    library::SessionParticulars said;
    bool analysed = false;  ///< false: no reference, or nothing to hold against it
    double reference_s = 0.0, excluded_s = 0.0;
    std::vector<flags::Flag> referenceFlags;
    std::vector<DeviceFinding> devices;
    std::optional<ReferenceTime> t0;  ///< begin of session time; nothing where it was not analysed
    trace::PhasePlan phases;
    std::vector<trace::Pin> pins;
};

/// An attempt that left no recording.
struct FailedAttempt {
    std::string session, device, reason;
    std::optional<Micros> start;
};

struct Study {
    library::ProjectId id;
    library::ProjectParticulars project;
    std::vector<library::PlannedParticulars> plan;
    std::vector<StudySession> sessions;  ///< by start
    std::vector<FailedAttempt> failed;
    std::map<library::DeviceId, library::DeviceParticulars>
        devices;  ///< worn in a session, whatever the role
    std::map<library::WearerId, library::WearerParticulars> wearers;
    std::map<library::ActivityId, std::string> activities;
    std::vector<library::StoredFile> recordings;  ///< behind the sessions
    std::vector<library::StoredCriterion> criteria;

    std::vector<analysis::SettingRow> settings;
    evaluation::Question question;                         ///< by activity and device, criteria in force
    evaluation::ProjectAgreement answer;                   ///< of that question
    std::vector<std::string> testDevices, testActivities;  ///< with evidence, by label
    std::vector<evaluation::AgreementGroup> pooled;        ///< by device alone
    std::vector<evaluation::AgreementGroup> byFirmware;    ///< where a device has several
    std::vector<evaluation::Robustness> robustness;  ///< of MAE, then of every criterion's metric, by device

    [[nodiscard]] std::string deviceLabel(library::DeviceId device) const;
    [[nodiscard]] std::string activityLabel(const std::optional<library::ActivityId>& activity) const;
    /// Threshold in force by its key; asserts that there is one.
    [[nodiscard]] double setting(std::string_view key) const;
};

/// Reads the project and analyses its sessions: some 40 ms a session of an hour. Faults: NotInLibrary,
/// NothingToCompare (no scored second in all of it), those of reading and analysing, Cancelled.
[[nodiscard]] Result<Study> studyOf(library::Library& library, const std::string& project,
                                    const RunControl& run);

}  // namespace beatwitness::report
