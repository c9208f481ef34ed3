// What LibraryActions asks before it acts. Every dialog is window-modal and never blocks the loop.
#include <QDialogButtonBox>
#include <QInputDialog>
#include <QLabel>
#include <QListWidget>
#include <QMenu>
#include <QPushButton>
#include <QVBoxLayout>
#include <algorithm>

#include "app/windows/deleted_dialog.h"
#include "app/windows/library_actions.h"
#include "app/windows/library_commands.h"

namespace beatwitness::app {

using namespace library;

namespace {

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

/// A label may hold what a menu takes for a mnemonic.
QString plain(const std::string& label) {
    return qt(label).replace(QLatin1Char('&'), QStringLiteral("&&"));
}

}  // namespace

QPoint LibraryActions::menuPlace() const {
    const auto& view = matrix_.view();
    const QRect row = view.visualRect(view.currentIndex());
    return view.viewport()->mapToGlobal(row.isValid() ? row.bottomLeft() : QPoint(8, 8));
}

void LibraryActions::choose(const QPoint& place, const std::function<void(QMenu&)>& fill) {
    auto* menu = new QMenu(window_);
    menu->setObjectName(QStringLiteral("chooser"));
    menu->setAttribute(Qt::WA_DeleteOnClose);
    fill(*menu);
    menu->popup(place, menu->actions().value(0));
}

void LibraryActions::askText(const QString& title, const QString& label, const QString& text,
                             const std::function<void(const QString&)>& take) {
    auto* dialog = new QInputDialog(window_);
    dialog->setObjectName(QStringLiteral("askText"));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setWindowTitle(title);
    dialog->setLabelText(label);
    dialog->setTextValue(text);
    connect(dialog, &QInputDialog::textValueSelected, this, [take](const QString& typed) {
        if (!typed.trimmed().isEmpty()) take(typed.trimmed());
    });
    dialog->open();
}

void LibraryActions::showContextMenu(const QPoint& place) {
    refresh();
    const bool onHead =
        std::holds_alternative<std::monostate>(matrix_.model().rowId(matrix_.view().currentIndex()));
    choose(place, [this, onHead](QMenu& menu) { commands_.fillContextMenu(menu, onHead); });
}

void LibraryActions::askActivity() {
    const auto sessions = matrix_.view().selectedSessions();
    choose(menuPlace(), [this, sessions](QMenu& menu) {
        for (const auto& activity : library_.contents()->activities)
            menu.addAction(plain(activity.is.label), this,
                           [this, sessions, label = qt(activity.is.label)] { moveTo(sessions, label); });
        menu.addSeparator();
        menu.addAction(tr("New activity …"), this, [this, sessions] {
            askText(tr("New Activity"), tr("Name of the activity:"), {},
                    [this, sessions](const QString& name) { moveTo(sessions, name); });
        });
    });
}

void LibraryActions::askProject(const std::vector<SessionId>& sessions, const QPoint& place) {
    if (sessions.empty()) return;
    const auto count = static_cast<int>(sessions.size());
    choose(place, [&](QMenu& menu) {
        menu.addSection(tr("Add %n sessions to", nullptr, count));
        for (const auto& project : library_.contents()->projects)
            if (project.id != matrix_.project())
                menu.addAction(plain(project.is.label), this,
                               [this, sessions, id = project.id] { setMembership(sessions, id, true); });
        menu.addAction(tr("New project …"), this, [this, sessions] {
            askText(tr("New Project"), tr("Name of the project:"), {}, [this, sessions](const QString& name) {
                if (const auto id = library_.project(name)) setMembership(sessions, *id, true);
            });
        });
    });
}

void LibraryActions::askFailedAttempt() {
    const auto sessions = matrix_.view().selectedSessions();
    if (sessions.empty()) return;
    const auto row = library_.contents()->session(sessions.front());
    const auto ask = [this, id = sessions.front()](const QString& device) {
        askText(tr("Attempt Without a Recording"), tr("Why did %1 record nothing?").arg(device), {},
                [this, id, device](const QString& reason) { addFailedAttempt(id, device, reason); });
    };
    choose(menuPlace(), [&](QMenu& menu) {
        menu.addSection(tr("Device that recorded nothing"));
        for (const auto& device : library_.contents()->devices) {
            const bool worn = std::ranges::any_of(
                row->wearings, [&](const auto& wearing) { return wearing.device == device.id; });
            if (!worn)
                menu.addAction(plain(device.is.label), this,
                               [ask, label = qt(device.is.label)] { ask(label); });
        }
        menu.addAction(tr("Another device …"), this,
                       [this, ask] { askText(tr("Another Device"), tr("Name of the device:"), {}, ask); });
    });
}

void LibraryActions::askFulfil() {
    const auto sessions = matrix_.view().selectedSessions();
    const auto project = matrix_.project();
    if (sessions.size() != 1 || !project) return;
    choose(menuPlace(), [&](QMenu& menu) {
        menu.addSection(tr("This session is what was planned as"));
        for (const auto& planned : library_.contents()->plan) {
            if (planned.is.project != *project || planned.is.session) continue;
            const QString day =
                planned.is.day.empty() ? QString() : QStringLiteral(" · ") + qt(planned.is.day);
            menu.addAction(plain(planned.is.name) + day, this,
                           [this, id = planned.id, session = sessions.front()] { fulfil(id, session); });
        }
    });
}

void LibraryActions::askMerge() {
    const auto from = currentActivity();
    if (!from) return;
    choose(menuPlace(), [&](QMenu& menu) {
        menu.addSection(tr("Merge %1 into").arg(qt(library_.contents()->activity(*from)->label)));
        for (const auto& activity : library_.contents()->activities)
            if (activity.id != *from)
                menu.addAction(plain(activity.is.label), this,
                               [this, from = *from, into = activity.id] { mergeActivity(from, into); });
    });
}

void LibraryActions::askActivityName() {
    const auto id = currentActivity();
    if (!id) return;
    const auto is = *library_.contents()->activity(*id);
    askText(tr("Rename Activity"), tr("Name of the activity:"), qt(is.label),
            [this, id, is](const QString& name) {
                auto renamed = is;
                renamed.label = name.toStdString();
                library_.edit(tr("rename activity to %1").arg(name),
                              {RowOf<ActivityId, ActivityParticulars>{*id, renamed}});
            });
}

void LibraryActions::askProjectName(bool isNew) {
    const auto id = matrix_.project();
    if (isNew) {
        askText(tr("New Project"), tr("Name of the project:"), {}, [this](const QString& name) {
            if (const auto project = library_.project(name)) matrix_.showProject(*project);
        });
        return;
    }
    if (!id) return;
    const auto is = *library_.contents()->project(*id);
    askText(tr("Rename Project"), tr("Name of the project:"), qt(is.label),
            [this, id, is](const QString& name) {
                auto renamed = is;
                renamed.label = name.toStdString();
                library_.edit(tr("rename project to %1").arg(name),
                              {RowOf<ProjectId, ProjectParticulars>{*id, renamed}});
            });
}

void LibraryActions::askProjectDevices() {
    const auto id = matrix_.project();
    if (!id) return;
    const auto is = *library_.contents()->project(*id);
    auto* dialog = new QDialog(window_);
    dialog->setObjectName(QStringLiteral("projectDevicesDialog"));
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->setWindowTitle(tr("Devices of %1").arg(qt(is.label)));
    auto* list = new QListWidget(dialog);
    list->setAccessibleName(tr("Devices"));
    const auto shown = library_.contents()->columnsOf(*id);
    const auto add = [&](DeviceId device, bool checked) {
        auto* item = new QListWidgetItem(qt(library_.contents()->device(device)->label), list);
        item->setData(Qt::UserRole, QVariant::fromValue<qlonglong>(device.value));
        item->setCheckState(checked ? Qt::Checked : Qt::Unchecked);
    };
    for (const auto device : shown)
        if (library_.contents()->device(device)) add(device, true);
    for (const auto& device : library_.contents()->devices)
        if (std::ranges::find(shown, device.id) == shown.end()) add(device.id, false);
    list->setDragDropMode(QAbstractItemView::InternalMove);
    auto* buttons = new QDialogButtonBox(QDialogButtonBox::Ok | QDialogButtonBox::Cancel, dialog);
    auto* up = buttons->addButton(tr("Move &Up"), QDialogButtonBox::ActionRole);
    connect(up, &QPushButton::clicked, list, [list] {
        const int row = list->currentRow();
        if (row <= 0) return;
        list->insertItem(row - 1, list->takeItem(row));
        list->setCurrentRow(row - 1);
    });
    auto* column = new QVBoxLayout(dialog);
    column->addWidget(new QLabel(tr("The columns of the matrix, from left to right:"), dialog));
    column->addWidget(list);
    column->addWidget(buttons);
    connect(buttons, &QDialogButtonBox::rejected, dialog, &QDialog::reject);
    connect(buttons, &QDialogButtonBox::accepted, dialog, &QDialog::accept);
    connect(dialog, &QDialog::accepted, this, [this, id, is, list] {
        auto chosen = is;
        chosen.devices.clear();
        for (int row = 0; row < list->count(); ++row)
            if (list->item(row)->checkState() == Qt::Checked)
                chosen.devices.push_back(DeviceId{list->item(row)->data(Qt::UserRole).toLongLong()});
        library_.edit(tr("devices of %1").arg(qt(is.label)),
                      {RowOf<ProjectId, ProjectParticulars>{*id, chosen}});
    });
    dialog->open();
}

void LibraryActions::deleteProject() {
    const auto id = matrix_.project();
    if (!id) return;
    auto is = *library_.contents()->project(*id);
    is.deleted = true;
    library_.edit(tr("deletion of project %1").arg(qt(is.label)),
                  {RowOf<ProjectId, ProjectParticulars>{*id, is}});
}

void LibraryActions::showDeleted() {
    auto* dialog = new DeletedDialog(library_, window_);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    dialog->open();
}

}  // namespace beatwitness::app
