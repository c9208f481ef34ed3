#pragma once

#include <QScrollArea>
#include <vector>

#include "app/document/library_document.h"
#include "app/document/stored_session.h"

class QVBoxLayout;

namespace beatwitness::widgets {
class FieldList;
}

namespace beatwitness::app {

/// What the library knows of the session that is open, beside its recordings: session, conditions, each
/// wearing, the wearer and the devices, as the consensus checklist asks (field guide, section 1). Nothing is
/// compulsory; each field is one undo step.
class ParticularsPanel : public QScrollArea {
    Q_OBJECT

public:
    ParticularsPanel(LibraryDocument& library, StoredSession& session, QWidget* parent = nullptr);

    /// Shows a planned session instead, until another session is opened.
    void showPlan(library::PlannedId planned);
    /// The first field takes the keyboard.
    void takeFocus();

private:
    void follow();
    void rebuild();
    /// What the fields stand for; where it changes they are made anew.
    [[nodiscard]] std::vector<std::int64_t> structure() const;
    widgets::FieldList* section(const QString& title, const QString& state = {});
    void addSession(library::SessionId id);
    void addConditions(library::SessionId id);
    void addWearing(const library::WearingRow& wearing);
    void addWearer(library::WearerId id);
    void addDevice(library::DeviceId id);
    void addPlan(library::PlannedId id);

    LibraryDocument& library_;
    StoredSession& session_;
    std::optional<library::PlannedId> planned_;
    std::vector<std::int64_t> shown_;
    QWidget* contents_ = nullptr;
    QVBoxLayout* column_ = nullptr;
    std::vector<widgets::FieldList*> lists_;
};

}  // namespace beatwitness::app
