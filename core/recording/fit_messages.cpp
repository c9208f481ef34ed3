#include "core/recording/fit_messages.h"

namespace beatwitness::recording {
namespace {

struct ProfileMessage {
    std::uint16_t number;
    FitMessage message;
};
constexpr ProfileMessage profileMessages[] = {
    {0, FitMessage::FileId},      {49, FitMessage::FileCreator}, {12, FitMessage::Sport},
    {18, FitMessage::Session},    {19, FitMessage::Lap},         {20, FitMessage::Record},
    {21, FitMessage::Event},      {23, FitMessage::DeviceInfo},  {34, FitMessage::Activity},
    {78, FitMessage::HeartBeats}, {132, FitMessage::HeartRates},
};

struct ProfileField {
    FitMessage message;
    std::uint8_t number;
    std::size_t slot;
};
constexpr ProfileField profileFields[] = {
    {FitMessage::FileId, 0, fit_slot::fileType},
    {FitMessage::FileId, 1, fit_slot::manufacturer},
    {FitMessage::FileId, 2, fit_slot::product},
    {FitMessage::FileId, 3, fit_slot::serialNumber},
    {FitMessage::FileId, 8, fit_slot::productName},
    {FitMessage::FileCreator, 0, fit_slot::creatorSoftware},
    {FitMessage::Sport, 0, fit_slot::sport},
    {FitMessage::Sport, 1, fit_slot::subSport},
    {FitMessage::Sport, 3, fit_slot::sportName},
    {FitMessage::Session, 5, fit_slot::sport},
    {FitMessage::Session, 6, fit_slot::subSport},
    {FitMessage::Lap, 2, fit_slot::lapStart},
    {FitMessage::Lap, 7, fit_slot::lapElapsed},
    {FitMessage::Record, 2, fit_slot::altitude},
    {FitMessage::Record, 3, fit_slot::heartRate},
    {FitMessage::Record, 4, fit_slot::cadence},
    {FitMessage::Record, 5, fit_slot::distance},
    {FitMessage::Record, 6, fit_slot::speed},
    {FitMessage::Record, 7, fit_slot::power},
    {FitMessage::Record, 53, fit_slot::fractionalCadence},
    {FitMessage::Record, 73, fit_slot::enhancedSpeed},
    {FitMessage::Record, 78, fit_slot::enhancedAltitude},
    {FitMessage::Event, 0, fit_slot::event},
    {FitMessage::Event, 1, fit_slot::eventType},
    {FitMessage::DeviceInfo, 0, fit_slot::deviceIndex},
    {FitMessage::DeviceInfo, 2, fit_slot::manufacturer},
    {FitMessage::DeviceInfo, 3, fit_slot::serialNumber},
    {FitMessage::DeviceInfo, 4, fit_slot::product},
    {FitMessage::DeviceInfo, 5, fit_slot::softwareVersion},
    {FitMessage::DeviceInfo, 27, fit_slot::productName},
    {FitMessage::Activity, 5, fit_slot::localTimestamp},
    {FitMessage::HeartBeats, 0, fit_slot::beatIntervals},
    {FitMessage::HeartRates, 0, fit_slot::fraction32768},
    {FitMessage::HeartRates, 1, fit_slot::fraction256},
    {FitMessage::HeartRates, 6, fit_slot::filteredRate},
    {FitMessage::HeartRates, 9, fit_slot::eventTime},
    {FitMessage::HeartRates, 10, fit_slot::eventTime12},
};
constexpr std::uint8_t timestampNumber = 253;

FitMessage messageOf(std::uint16_t number) {
    for (const auto& known : profileMessages)
        if (known.number == number) return known.message;
    return FitMessage::Other;
}

std::optional<std::size_t> slotOf(FitMessage message, std::uint8_t number) {
    if (number == timestampNumber) return fit_slot::timestamp;
    for (const auto& known : profileFields)
        if (known.message == message && known.number == number) return known.slot;
    return std::nullopt;
}

/// nothing where the field cannot be read and is only stepped over.
std::optional<FitField> fieldAt(const FitFieldDefinition& definition, std::uint32_t offset, bool bigEndian) {
    const auto type = fitType(definition.baseType);
    if (!type || definition.size % elementSize(*type) != 0) return std::nullopt;
    const auto count = static_cast<std::uint16_t>(definition.size / elementSize(*type));
    return FitField{*type, bigEndian, count, offset};
}

}  // namespace

FitPlan planMessage(std::uint16_t number, bool bigEndian, std::span<const FitFieldDefinition> fields,
                    std::uint32_t developerBytes) {
    FitPlan plan{.message = messageOf(number)};
    for (const auto& definition : fields) {
        const auto slot = slotOf(plan.message, definition.number);
        const auto field = fieldAt(definition, plan.size, bigEndian);
        if (slot && field && !plan.fields[*slot].present()) plan.fields[*slot] = *field;
        plan.size += definition.size;
    }
    plan.size += developerBytes;
    return plan;
}

}  // namespace beatwitness::recording
